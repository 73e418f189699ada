"""
Find a PostgreSQL server that the tests may make their databases on, and print its address.

Runs inside the environment. TEST_DATABASE_URL names one; without it the usual places on this
machine are asked. Says on standard error why none will do.
"""

import getpass
import os
import sys

import environ
import psycopg


def addresses() -> list[str]:
    """Where to ask: the one that is named, or the places where a server usually answers."""
    if named := os.environ.get("TEST_DATABASE_URL"):
        return [named]
    sockets = [f"postgres://{user}@//var/run/postgresql/teamops" for user in _users()]
    people = ("postgres", "postgres:postgres", "teamops:teamops")
    return [*sockets, *(f"postgres://{who}@127.0.0.1:5432/teamops" for who in people)]


def _users() -> list[str]:
    return list(dict.fromkeys([getpass.getuser(), "postgres"]))


def version(address: str) -> str:
    """The server's version, or OSError if it does not answer or may not be used for tests."""
    place = environ.Env.db_url_config(address)
    try:
        with psycopg.connect(
            host=place["HOST"],
            port=place["PORT"] or 5432,
            user=place["USER"],
            password=place["PASSWORD"] or None,
            dbname="postgres",
            connect_timeout=3,
        ) as connection:
            may = "select rolcreatedb or rolsuper from pg_roles where rolname = current_user"
            if not connection.execute(may).fetchone()[0]:
                raise OSError(f"{place['USER']} may not make databases")
            return connection.info.parameter_status("server_version") or ""
    except psycopg.Error as error:
        raise OSError(str(error).strip().splitlines()[-1]) from error


def find() -> tuple[str, str]:
    """The first address that answers, and the server's version; or OSError with every reason."""
    reasons = []
    for address in addresses():
        try:
            return address, version(address)
        except OSError as error:
            reasons.append(f"{public(address)}: {error}")
    raise OSError("\n".join(reasons))


def public(address: str) -> str:
    """The address without its password, for people to read."""
    place = environ.Env.db_url_config(address)
    return f"{place['USER']} at {place['HOST']}"


if __name__ == "__main__":
    try:
        address, number = find()
    except OSError as error:
        sys.exit(str(error))
    print(address, f"PostgreSQL {number}, {public(address)}", sep="\n")
