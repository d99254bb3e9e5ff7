// A UUID made on the phone (version 4). crypto.randomUUID needs https; getRandomValues does not.

export function newId() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  bytes[6] = (bytes[6] & 0x0f) | 0x40;
  bytes[8] = (bytes[8] & 0x3f) | 0x80;
  const hex = Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
  return [8, 12, 16, 20].reduceRight((id, at) => id.slice(0, at) + "-" + id.slice(at), hex);
}
