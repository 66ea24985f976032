"""What a job really took, in print: by stage against the estimate and all jobs, with bars."""

from fractions import Fraction
from typing import Any

from crewdesk.job.beams.gaps import Reveals
from crewdesk.job.books.actuals import JobActuals
from crewdesk.job.record import Record
from crewdesk.length import Step
from crewdesk.paper.documents.letter import money
from crewdesk.paper.lengths import length_json, with_unit
from crewdesk.paper.plain import plain
from crewdesk.paper.sheet import Sheet, heading, job_values
from crewdesk.trade.books.actuals import BeamOver
from crewdesk.trade.books.durations import short

BAR = 30


def actuals_sheet(id_: str, record: Record, took: JobActuals) -> Sheet:
    """The sheet: `#` is time spent, `-` what was reckoned beyond it, `!` time over that."""
    name = record.stages.name_of
    against = "the accepted estimate" if took.accepted else "what it should take by the rates"
    jobs = f"{took.past} finished job{'' if took.past == 1 else 's'}"
    lines = [
        heading(record.job, "what it took"),
        f"Minutes against {against}; minutes per foot against {jobs}.",
        "",
    ]
    wide = max((len(plain(name(one.stage))) for one in took.stages), default=0) + 2
    most = max(
        (max(one.minutes, one.estimated or Fraction(0)) for one in took.stages), default=Fraction(0)
    )
    for one in took.stages:
        bar = stage_bar(one.minutes, one.estimated, most)
        told = f"{minutes_text(one.minutes):>7} of {minutes_text(one.estimated):>7}"
        foot = f"  {per_foot_text(one.per_foot)}/ft" if one.per_foot is not None else ""
        every = f", all jobs {per_foot_text(one.all_per_foot)}/ft" if one.jobs else ""
        over = "  over" if one.beyond else ""
        lines.append(f"{plain(name(one.stage)):<{wide}}|{bar:<{BAR}}| {told}{foot}{every}{over}")
    lines += ["", fix_ups_text(took)]
    lines += [f"  {plain(cause)}: {short(seconds // 60 * 60)}" for cause, seconds in took.causes]
    lines += reveal_lines(took, record.job.step)
    if took.beams:
        lines += ["", "Beams that ran over"]
    for beam in took.beams:
        lines.append(f"  {plain(beam.name)}: {minutes_text(beam.over)} over ({causes_text(beam)})")
    if took.untold:
        lines.append(f"{short(took.untold)} was logged without pieces and is in no beam's time.")
    return Sheet(tuple(lines), lambda: _values(id_, record, took))


def stage_bar(minutes: Fraction, estimated: Fraction | None, most: Fraction) -> str:
    """A bar of at most `BAR` signs, scaled to the longest."""
    if not most:
        return ""
    spent = round(BAR * minutes / most)
    reckoned = spent if estimated is None else round(BAR * estimated / most)
    within = min(spent, reckoned)
    return "#" * within + "!" * (spent - within) + "-" * (reckoned - within)


def causes_text(beam: BeamOver) -> str:
    """What happened on a beam that ran over."""
    return ", ".join(_many(count, what) for what, count in beam.causes) or ("nothing recorded")


def _many(count: int, what: str) -> str:
    return f"{count} {what if count != 1 else what.removesuffix('s')}"


def minutes_text(minutes: Fraction | None) -> str:
    """Minutes to the nearest, as hours and minutes."""
    if minutes is None:
        return "none"
    return short(round(minutes) * 60) if round(minutes) else "0"


def per_foot_text(minutes: Fraction | None) -> str:
    """Minutes per foot, to a tenth."""
    return "none" if minutes is None else f"{float(minutes):.1f} min"


def fix_ups_text(took: JobActuals) -> str:
    """What fix-ups took, in whole minutes cut off, and what that is worth."""
    if not took.fix_up_seconds:
        return "No time went into fix-ups."
    price = "" if took.fix_up_price is None else f", worth {money(took.fix_up_price)}"
    return f"Fix-ups took {short(took.fix_up_seconds // 60 * 60)}{price}."


def reveal_lines(took: JobActuals, step: Step) -> list[str]:
    """Return what this job's reveals were off, and those of finished jobs, a line each."""
    lines = [] if took.reveals is None else [reveals_line(took.reveals, step)]
    if took.past_reveals is not None:
        lines.append(f"In finished jobs: {reveals_line(took.past_reveals, step)}")
    return lines


def reveals_line(reached: Reveals, step: Step) -> str:
    """Return what the reveals measured at the fix-up came to, in one line."""
    count = f"{reached.measured} reveal{'' if reached.measured == 1 else 's'} measured"
    mean = with_unit(abs(reached.mean_off), step)
    way = "more" if reached.mean_off > 0 else "less"
    off = (
        f"{mean} {way} than asked for on average" if reached.mean_off else "as asked for on average"
    )
    return f"{count}: {off}, {with_unit(reached.worst_off, step)} off at the worst."


def _reveal_values(reached: Reveals | None, step: Step) -> dict[str, Any] | None:
    if reached is None:
        return None
    return {
        "count": reached.measured,
        "mean_off": length_json(reached.mean_off, step),
        "worst_off": length_json(reached.worst_off, step),
    }


def _values(id_: str, record: Record, took: JobActuals) -> dict[str, Any]:
    def number(value: Fraction | None) -> float | None:
        return None if value is None else round(float(value), 3)

    return {
        "job": job_values(id_, record.job),
        "accepted": took.accepted,
        "past_jobs": took.past,
        "stages": [
            {
                "stage": one.stage,
                "name": record.stages.name_of(one.stage),
                "minutes": number(one.minutes),
                "minutes_per_foot": number(one.per_foot),
                "estimated": number(one.estimated),
                "over": number(one.over),
                "beyond_high": one.beyond,
                "all_jobs_minutes_per_foot": number(one.all_per_foot),
                "jobs": one.jobs,
            }
            for one in took.stages
        ],
        "beams_over": [
            {
                "name": beam.name,
                "minutes": number(beam.minutes),
                "over": number(beam.over),
                "causes": dict(beam.causes),
            }
            for beam in took.beams
        ],
        "fix_up": {
            "seconds": took.fix_up_seconds,
            "price": None if took.fix_up_price is None else str(took.fix_up_price),
            "causes": [{"cause": cause, "seconds": seconds} for cause, seconds in took.causes],
        },
        "seconds_without_pieces": took.untold,
        "reveals": _reveal_values(took.reveals, record.job.step),
        "past_reveals": _reveal_values(took.past_reveals, record.job.step),
    }
