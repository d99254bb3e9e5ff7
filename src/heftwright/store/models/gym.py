"""Gyms, the people who sign in, and what each may do where."""

from __future__ import annotations

from enum import StrEnum
from typing import ClassVar

from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.db import models

from heftwright.domain.mass import MassUnit
from heftwright.store.fields import WordField


class Role(StrEnum):
    """What a coach is to a gym."""

    OWNER = "owner"
    HEAD_COACH = "head_coach"
    ASSISTANT = "assistant"


class Gym(models.Model):
    """A gym; everything entered belongs to one."""

    slug = models.SlugField(max_length=60, unique=True)
    name = models.CharField(max_length=120)
    time_zone = models.CharField(max_length=60)
    unit = WordField(MassUnit, default=MassUnit.KG)
    week_start = models.PositiveSmallIntegerField(default=0)
    created_at = models.DateTimeField(auto_now_add=True)

    def __str__(self) -> str:
        return self.name


class AccountManager(BaseUserManager["Account"]):
    """Looks accounts up for sessions."""


class Account(AbstractBaseUser):
    """A person who signs in with a name or an e-mail address and a password."""

    name = models.CharField(max_length=120)
    sign_in_name = models.CharField(max_length=120, unique=True)  # the name, case folded
    email = models.EmailField(unique=True, null=True, blank=True)
    is_active = models.BooleanField(default=True)
    created_at = models.DateTimeField(auto_now_add=True)

    USERNAME_FIELD = "sign_in_name"
    EMAIL_FIELD = "email"
    REQUIRED_FIELDS: ClassVar[list[str]] = []

    objects = AccountManager()

    def __str__(self) -> str:
        return self.name


class Membership(models.Model):
    """An account's role in a gym."""

    gym = models.ForeignKey(Gym, on_delete=models.CASCADE, related_name="memberships")
    account = models.ForeignKey(Account, on_delete=models.CASCADE, related_name="memberships")
    role = WordField(Role)
    suspended_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["gym", "account"], name="one_role_an_account_and_gym")
        ]

    def __str__(self) -> str:
        return f"{self.account_id} is {self.role} of {self.gym_id}"


class TokenKind(StrEnum):
    """What a secret link or QR code opens."""

    FIRST_SIGN_IN = "first_sign_in"
    BOARD = "board"
    CARD = "card"
    FEED = "feed"


class Token(models.Model):
    """A secret link; only the SHA-256 of its 256 random bits is kept."""

    gym = models.ForeignKey(Gym, on_delete=models.CASCADE)
    kind = WordField(TokenKind)
    digest = models.CharField(max_length=64, unique=True)
    role = WordField(Role, null=True, blank=True)
    athlete = models.ForeignKey("store.Athlete", on_delete=models.CASCADE, null=True, blank=True)
    label = models.CharField(max_length=80, blank=True)
    created_at = models.DateTimeField()
    expires_at = models.DateTimeField(null=True, blank=True)
    used_at = models.DateTimeField(null=True, blank=True)
    revoked_at = models.DateTimeField(null=True, blank=True)

    def __str__(self) -> str:
        return f"{self.kind} {self.label}"


class SignInFailure(models.Model):
    """A failed sign-in, kept for an hour to slow guessing down."""

    name_digest = models.CharField(max_length=64)
    address = models.CharField(max_length=64)
    at = models.DateTimeField()

    class Meta:
        indexes: ClassVar = [models.Index(fields=["address", "at"], name="failures_by_address")]

    def __str__(self) -> str:
        return f"{self.address} {self.at}"
