"""What the run of all tests makes of steps that held none of the tests that were chosen."""

from __future__ import annotations

from tests.__main__ import NO_TESTS, Step, settled

CHOICE = ("tests/tuning",)


def statuses(*given: int, arguments: tuple[str, ...]) -> list[int]:
    steps = [Step(str(number), status) for number, status in enumerate(given)]
    return [step.status for step in settled(steps, arguments)]


def test_a_choice_may_leave_a_step_with_nothing_to_do() -> None:
    assert statuses(0, NO_TESTS, NO_TESTS, arguments=CHOICE) == [0, 0, 0]
    assert statuses(NO_TESTS, NO_TESTS, 1, arguments=CHOICE) == [0, 0, 1]


def test_a_choice_of_nothing_fails() -> None:
    assert statuses(NO_TESTS, NO_TESTS, arguments=CHOICE) == [NO_TESTS, NO_TESTS]


def test_the_whole_suite_has_tests_in_every_step() -> None:
    assert statuses(0, NO_TESTS, 0, arguments=()) == [0, NO_TESTS, 0]
