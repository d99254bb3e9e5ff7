"""The athlete's card: tonight's work on the phone, logged with one thumb, signal or not."""
