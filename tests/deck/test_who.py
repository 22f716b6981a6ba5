"""Who typed initials mean."""

import pytest

from pourdeck.deck.form_fields import who
from pourdeck.plan.messages import Refusal
from pourdeck.plan.records import Person
from pourdeck.walk.words import initials
from tests.deck.kit import HOSTILE

PEOPLE = (
    Person(name="Ada Reed", role="foreman"),
    Person(name="Ben Cole", role="hand"),
    Person(name="Bea Cole-Hart", role="supervisor"),
    Person(name="Bo Cain", role="hand"),
)


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ("ada reed", "Ada Reed"),
        ("  Ada   Reed ", "Ada Reed"),
        ("AR", "Ada Reed"),
        ("a.r.", "Ada Reed"),
        ("bch", "Bea Cole-Hart"),
        ("ben cole", "Ben Cole"),
    ],
)
def test_a_name_or_initials_of_one_person(typed: str, name: str) -> None:
    found = who(typed, PEOPLE)

    assert isinstance(found, Person)
    assert found.name == name


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("", "name"),
        ("bc", "Ben Cole and Bo Cain"),
        ("Ada Red", "Did you mean Ada Reed?"),
        ("zz", "Ada Reed (AR)"),
        (HOSTILE, HOSTILE),
        ("y", "not on this job"),
    ],
)
def test_anything_else_is_refused_with_what_would_do(typed: str, words: str) -> None:
    found = who(typed, PEOPLE)

    assert isinstance(found, Refusal)
    assert words in f"{found.title} {found.body}"


def test_initials_are_of_every_part_of_a_name() -> None:
    assert [initials(person.name) for person in PEOPLE] == ["AR", "BC", "BCH", "BC"]
