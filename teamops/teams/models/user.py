from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.db import models

from teamops.teams.fields import PlainTextField


class UserManager(BaseUserManager["User"]):
    def create_user(self, email: str, name: str = "", password: str | None = None) -> "User":
        user = self.model(email=email.lower(), name=name)
        user.set_password(password)
        user.full_clean(exclude=["password"])
        user.save()
        return user


class User(AbstractBaseUser):
    """A person who signs in by email. A closed account is emptied and kept: who did what stays."""

    email = models.EmailField(
        unique=True, error_messages={"unique": "There is an account with this address already."}
    )
    name = PlainTextField("your name", max_length=80, blank=True)
    is_active = models.BooleanField(default=True)
    joined_at = models.DateTimeField(auto_now_add=True)

    objects = UserManager()
    USERNAME_FIELD = EMAIL_FIELD = "email"

    def __str__(self) -> str:
        if not self.is_active:
            return "Somebody who left"
        return self.name or self.email.partition("@")[0]

    def get_short_name(self) -> str:
        return str(self).split(" ")[0]
