from time import sleep

from loomwise.usecases.rank import within


def test_the_time_to_look_ahead_begins_when_it_is_asked_for() -> None:
    """Ranking may take its time: what is left for looking ahead is not used up by it."""
    is_up = within(0.02)
    sleep(0.03)
    assert not is_up()
    sleep(0.03)
    assert is_up()
