"""The sample shop's counter: its tickets stand as they say on any day, and agree with the balls' logs."""

from __future__ import annotations

from collections import Counter
from datetime import timedelta
from pathlib import Path

import pytest
from made_shop import Clock, opened

from arsenal.acts import counter, files, fits, services, tickets
from arsenal.trade.entries import Kind, OilDrawn, Repair, SurfaceWork, effective
from arsenal.trade.fit import DrillRecord, FitSheet
from arsenal.trade.pads import label
from arsenal.trade.ticket import OPEN, Standing, Ticket, Work


def test_a_dozen_tickets_stand_where_they_say(sample: Path) -> None:
    with opened(sample, Clock()) as shop:
        standing = Counter(ticket.standing for ticket in shop.every(Ticket))
        counts = counter.counts(shop)
        assert sum(standing.values()) == 12
        assert (standing[Standing.PARKED], standing[Standing.BENCH], standing[Standing.READY]) == (2, 1, 1)
        assert standing[Standing.OUT] == 5
        assert len(counts.late) == 1
        assert {row.waits_for for row in counts.parked} == {"waiting for the promise"}


@pytest.mark.parametrize("days", range(7))
def test_just_one_is_late_whatever_the_weekday_and_hour(tmp_path: Path, days: int) -> None:
    clock = Clock()
    clock.at = (clock.at + timedelta(days=days)).replace(hour=(0, 7, 12, 17, 20, 22, 23)[days], minute=50)
    path = tmp_path / "sample.padbook"
    files.write_sample(path, clock=clock)
    with opened(path, clock) as shop:
        assert len(counter.counts(shop).late) == 1
        for ticket in shop.every(Ticket):
            came = ticket.taken_in_at or ticket.written_at
            moments = [came, ticket.ready_at, ticket.out_at]
            moments += [at for b in ticket.balls for j in b.jobs for at in (j.begun_at, j.done_at)]
            assert all(came <= at <= clock.at for at in moments if at is not None), ticket.id


def test_no_ball_is_on_two_open_tickets_and_every_job_is_a_service_with_its_price(sample: Path) -> None:
    with opened(sample, Clock()) as shop:
        offered = {service.id: service for service in services.services(shop)}
        assert all(service.price_cents is not None for service in offered.values())
        on = [b.ball_id for t in shop.every(Ticket) if t.standing in (*OPEN, Standing.PARKED) for b in t.balls]
        assert len(on) == len(set(on))
        for ticket in shop.every(Ticket):
            for taken in ticket.balls:
                for job in taken.jobs:
                    assert job.service_id is not None
                    assert (offered[job.service_id].name, offered[job.service_id].price_cents) == (
                        job.name, job.price_cents,
                    )  # fmt: skip
        assert services.takes(shop, "Full resurface", 16.0).timed == 3


def test_what_was_handed_over_stands_in_the_logs(sample: Path) -> None:
    with opened(sample, Clock()) as shop:
        for ticket in [t for t in shop.every(Ticket) if t.standing is Standing.OUT]:
            assert ticket.out_at is not None
            for taken in ticket.balls:
                assert taken.ball_id is not None
                log = effective(shop.entries(taken.ball_id))
                done = [e for e in log if e.on == ticket.out_at.date()]
                for job in taken.jobs:
                    if job.work is Work.SURFACE and job.steps:
                        shown = [label(e.payload.steps) for e in done if isinstance(e.payload, SurfaceWork)]
                        assert any(label(job.steps).split(" ")[0] in said for said in shown), ticket.id
                    elif job.work.warm:
                        assert any(isinstance(e.payload, OilDrawn) for e in done), ticket.id
                    elif job.work is Work.PLUG:
                        assert any(isinstance(e.payload, Repair) and e.payload.plugged for e in done), ticket.id


def test_some_can_be_reached_some_agreed_and_the_junior_has_a_guardian(sample: Path) -> None:
    """555 0100 to 555 0199 are kept free for invented people (North American Numbering Plan)."""
    with opened(sample, Clock()) as shop:
        phones = [person.phone for person in shop.people() if person.phone]
        assert len(phones) >= 5
        assert all(phone.startswith("555 01") and len(phone) == 8 for phone in phones)
        agreed = [p for p in shop.people() if p.reminders_consented_on is not None]
        assert 0 < len(agreed) < len(shop.people())
        assert all(p.reminders_consented_on <= shop.today() for p in agreed if p.reminders_consented_on)
        (minor,) = [person for person in shop.people() if person.minor]
        assert "555 0186" in minor.guardian


def test_a_fit_and_a_drilling_agree_with_the_log(sample: Path) -> None:
    with opened(sample, Clock()) as shop:
        (fit,), (drill,) = shop.every(FitSheet), shop.every(DrillRecord)
        assert drill.fit_id == fit.id
        drilled = [e for e in effective(shop.entries(drill.ball_id)) if e.kind is Kind.DRILLED]
        assert [(e.on, e.payload.pin_to_axis_m) for e in drilled] == [(drill.drilled_on, drill.pin_to_axis_m)]  # type: ignore[union-attr]
        assert fits.axis_words(fit) == "axis point 5 in over, 1/2 in up"
        assert [f for f in fits.advice(shop, drill) if f.weight.value == "bad"] == []


def test_the_text_to_send_of_the_one_that_is_ready(sample: Path) -> None:
    with opened(sample, Clock()) as shop:
        (ready,) = [t for t in shop.every(Ticket) if t.standing is Standing.READY]
        assert tickets.text_to_send(shop, ready) == (
            f"Hello Cato, Quiet Anvil is ready to pick up. Ticket {ready.id}. To pay: 5.00."
        )
