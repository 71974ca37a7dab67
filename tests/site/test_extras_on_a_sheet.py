"""Extras as a measure sheet names them, and what is wrong with those it cannot."""

import pytest
from sheets import bent

from kit.errors import KitError
from kit.job import job_from, workup

FINISH = 'finish = "matte"'


def with_extras(text):
    return bent(FINISH, f"{FINISH}\nextras = {text}")


def test_a_sheet_without_extras_takes_none():
    assert job_from(bent()).extras == ()
    assert job_from(with_extras("[]")).extras == ()


def test_extras_of_a_sheet_are_priced():
    plain, more = (
        workup(job_from(bent())),
        workup(job_from(with_extras('["crack_repair"]'))),
    )

    assert more.offer.total - plain.offer.total == 460


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ('["gold"]', "floor, extras: found gold; expected one of cove, "),
        ('["cove", "cove"]', "floor, extras: found cove twice"),
        ('["cove", "cove_high"]', "floor, extras: found Cove base, 4 in and Cove base, 6"),
        ('"cove"', "floor, extras: found cove; expected a list in square brackets"),
        ("[4]", "floor, extras: found 4; expected a name in quotation marks"),
        ("true", "floor, extras: found True; expected a list"),
    ],
)
def test_extras_that_make_no_sense_are_told_with_their_field(text, told):
    with pytest.raises(KitError) as caught:
        job_from(with_extras(text))

    assert caught.value.line.startswith(told)


def test_extras_in_the_table_of_the_job_are_sent_to_their_own():
    with pytest.raises(KitError, match=r"job, extras: found it inside .* it in \[floor\]"):
        job_from(bent('number = "T-1"', 'number = "T-1"\nextras = ["cove"]'))


def test_a_kept_job_whose_extra_has_left_the_shelf_says_so():
    job = job_from(bent()).changed(extras=("gone",))

    with pytest.raises(KitError, match="extras: found gone; expected one of cove"):
        workup(job)
