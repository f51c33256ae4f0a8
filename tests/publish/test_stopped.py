"""Whatever stops a publication at whatever step: one whole site stands, and the next run works."""

from __future__ import annotations

import errno
from itertools import count

import pytest

from plybook.site.publishing.manifest import MANIFEST
from plybook.site.publishing.publish import PublishError
from publish.stand import NEW, OLD, Faults, Site

MOST_STEPS = 300


class PowerCut(BaseException):
    """No statement after it reaches the disk."""


def full_disk() -> OSError:
    return OSError(errno.ENOSPC, "full")


def publish_new(site: Site, faults: Faults) -> BaseException | None:
    """Publish the new version; return what it raised."""
    try:
        site.publish(NEW)
    except (PublishError, KeyboardInterrupt, PowerCut) as error:
        return error
    return None


def start_over(site: Site, faults: Faults) -> None:
    """Put the old version there, through the front door."""
    faults.disarm()
    site.publish(OLD)
    assert site.content() == OLD


def finish(site: Site, faults: Faults) -> None:
    """One more run brings the new site, and leaves nothing of the work behind."""
    faults.disarm()
    site.publish(NEW)
    assert site.content() == NEW
    assert site.names_beside() == {"site"}
    assert not [name for name in site.names_inside() if name.startswith(".")]
    assert site.publish(NEW).is_unchanged


@pytest.mark.parametrize("is_after", [False, True], ids=["before", "after"])
@pytest.mark.parametrize("error", [full_disk, KeyboardInterrupt])
def test_a_fault_at_any_step_leaves_one_whole_site_and_no_leftovers(
    quick_site: Site, strategy: str, faults: Faults, error: type[BaseException], is_after: bool
) -> None:
    for step in count():
        assert step < MOST_STEPS
        start_over(quick_site, faults)
        faults.arm(step, error, is_final=False, is_after=is_after)
        raised = publish_new(quick_site, faults)
        is_reached = faults.is_reached
        faults.disarm()
        assert quick_site.content() in (OLD, NEW), f"step {step}"
        if error is KeyboardInterrupt and faults.raised:
            assert isinstance(raised, KeyboardInterrupt)
        if raised is None:
            assert quick_site.content() == NEW
        finish(quick_site, faults)
        if not is_reached:
            assert step > 20
            return


@pytest.mark.parametrize("is_after", [False, True], ids=["before", "after"])
def test_a_power_cut_at_any_step_leaves_whole_pages_and_the_next_run_ends_the_work(
    quick_site: Site, strategy: str, faults: Faults, is_after: bool
) -> None:
    missing = 0
    for step in count():
        assert step < MOST_STEPS
        start_over(quick_site, faults)
        faults.arm(step, PowerCut, is_final=True, is_after=is_after)
        publish_new(quick_site, faults)
        is_reached = faults.is_reached
        faults.disarm()
        content = quick_site.content()
        if content is None:
            missing += 1
        elif strategy in {"exchange", "renames"}:
            assert content in (OLD, NEW), f"step {step}"
        else:
            assert OLD.keys() & NEW.keys() <= content.keys() <= OLD.keys() | NEW.keys()
            for path, page in content.items():
                assert page in (OLD.get(path), NEW.get(path)), f"step {step}: {path} is torn"
        finish(quick_site, faults)
        if not is_reached:
            break
    # Two renames have one moment between them; everything else has none.
    assert missing == (1 if strategy == "renames" else 0)


def test_a_first_publication_cut_at_any_step_is_absent_or_whole(
    quick_site: Site, faults: Faults
) -> None:
    for step in count():
        assert step < MOST_STEPS
        faults.arm(step, PowerCut, is_final=True, is_after=False)
        publish_new(quick_site, faults)
        is_reached = faults.is_reached
        faults.disarm()
        assert quick_site.content() in (None, NEW)
        finish(quick_site, faults)
        if not is_reached:
            return
        for path in NEW:
            (quick_site.out / path).unlink()
        for folder in ("lessons", "principles"):
            (quick_site.out / folder).rmdir()
        (quick_site.out / MANIFEST).unlink()
        quick_site.out.rmdir()


def test_a_recovery_that_is_cut_itself_can_be_done_again(
    quick_site: Site, strategy: str, faults: Faults
) -> None:
    for step in range(1, MOST_STEPS, 3):
        start_over(quick_site, faults)
        faults.arm(step, PowerCut, is_final=True, is_after=False)
        publish_new(quick_site, faults)
        is_reached = faults.is_reached
        for second in range(0, 24, 5):
            faults.arm(second, PowerCut, is_final=True, is_after=True)
            publish_new(quick_site, faults)
        finish(quick_site, faults)
        if not is_reached:
            return


def test_a_failing_examination_leaves_the_old_site(quick_site: Site, strategy: str) -> None:
    quick_site.publish(OLD)

    def refuse(folder: object) -> None:
        raise ValueError("a link is broken")

    with pytest.raises(ValueError, match="a link is broken"):
        quick_site.publish(NEW, validate=refuse)
    assert quick_site.content() == OLD
    assert quick_site.names_beside() == {"site"}
