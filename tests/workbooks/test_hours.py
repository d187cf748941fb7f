"""Hours from a log or a calendar become labor entries."""

from datetime import datetime
from decimal import Decimal
from time import process_time

import pytest
from dateutil.rrule import rrulestr
from icalendar.prop import vRecur

from hitchworth.validation import InvalidInputError
from hitchworth.workbooks.hours import hours_between, hours_of
from hitchworth.workbooks.recurrence import Days, repeated_days
from hitchworth.workbooks.table import UnreadableFileError
from imported_tables import asked, faults, imported, notes
from worst_files import repeating_calendar

ZERO = Decimal(0)


@pytest.mark.parametrize(
    ("text", "hours"),
    [
        *(
            ("1:30", "1.50"),
            ("1h30", "1.50"),
            ("90 min", "1.50"),
            ("1.5 h", "1.5"),
            ("2,25 Std.", "2.25"),
            ("3 hrs", "3"),
        ),
        *(("0:20", "0.33"), ("100:00", "100.00"), ("1:30:00", "1.50"), ("45 Minuten", "0.75")),
        *(("3 h 30", "3.50"), ("3 Std 30", "3.50"), ("3 h 30 min", "3.50"), ("3 : 30", "3.50"), ("2 hours 15", "2.25")),
        *(("2 1/2", "2.50"), ("1/4", "0.25"), ("5 3/4 h", "5.75")),
        *(("5½", "5.50"), ("½", "0.50"), ("1 ¾ h", "1.75"), ("2¼ Std", "2.25")),
    ],
)
def test_hours_as_people_write_them(text: str, hours: str) -> None:
    assert hours_of(text) == Decimal(hours)


@pytest.mark.parametrize("text", ["1:75", "soon", "1.5", "1:30 Uhr", None])
def test_what_says_no_hours_is_left_to_the_numbers(text: str | None) -> None:
    assert hours_of(text) is None


@pytest.mark.parametrize(
    ("start", "end", "hours"),
    [
        *(("9:00", "11:30", "2.50"), ("10:00 PM", "1:00 AM", "3.00"), ("12:15 pm", "12:45 pm", "0.50")),
        *(
            ("12:00 am", "6:20", "6.33"),
            ("2025-03-04 09:00:00", "2025-03-04 10:00:00", "1.00"),
            ("9h00", "9.45", "0.75"),
        ),
    ],
)
def test_hours_between_two_times(start: str, end: str, hours: str) -> None:
    assert hours_between(start, end) == Decimal(hours)


def test_no_hours_between_what_is_no_time() -> None:
    assert hours_between("9:00", None) is None
    assert hours_between("noon", "13:00") is None
    assert hours_between("25:00", "26:00") is None


def test_a_log_of_hours_is_recognized_by_its_columns() -> None:
    table = (
        "Date,Work,Hours\n2025-03-04,Framing,1:30\n2025-03-05,Sanding,90 min\n2025-03-06,Paint,2.5\n"
        "Notes,,\n,Total,5.5\n"
    )
    result = imported(table)
    assert result.settings.kind == "labor"
    assert [(entry.task, entry.hours, entry.rate, entry.hired) for entry in result.labor] == [
        ("Framing", Decimal("1.50"), ZERO, None),
        ("Sanding", Decimal("1.50"), ZERO, None),
        ("Paint", Decimal("2.5"), ZERO, None),
    ]
    assert [(row.row, row.reason) for row in result.rows if row.outcome == "left_out"] == [
        (5, "no_amount"),
        (6, "total"),
    ]
    assert notes(result) == ["own_unpaid_hours"]


def test_a_row_of_nothing_but_hours_is_a_total_and_one_of_words_is_a_remark() -> None:
    result = imported("Date,Work,Hours\n2025-03-04,Framing,2\n,,2\n,rained all day,\n2025-03-05,Paint,1\n")
    assert [(row.row, row.outcome, row.reason) for row in result.rows] == [
        (2, "work", None),
        (3, "left_out", "total"),
        (4, "left_out", "no_amount"),
        (5, "work", None),
    ]


def test_times_rates_and_hired_work() -> None:
    table = "Date;Tätigkeit;Beginn;Ende;Stundensatz;Beauftragt\n4.3.2025;Schweißen;9:00;11:30;85,00;ja\n"
    (entry,) = imported(table, "de-DE", columns={"Beauftragt": "hired"}).labor
    assert (entry.hours, entry.rate, entry.hired) == (Decimal("2.50"), Decimal(85), True)


def test_the_same_work_twice_a_day_is_two_entries_with_stable_ids() -> None:
    table = "Date,Work,Hours\n2025-03-04,Framing,1.5\n2025-03-04,Framing,1:30\n"
    first, second = imported(table).labor
    assert second.id == f"{first.id}-2"
    assert imported(table.replace("Framing,1.5", "framing,1.50")).labor[0].id == first.id


def test_faults_of_a_log_name_their_cells() -> None:
    table = (
        "Date,Work,Hours\n2025-03-04,Framing,long\n2025-03-05,,2\n2025-03-06,Paint,3\n2025-03-06,Paint,3\nsoon,Oil,1\n"
    )
    assert faults(table) == [
        ("C2", "Not a value of its column"),
        ("B3", "Nothing stands here"),
        ("A6", "Not a value of its column"),
    ]
    assert asked("Work,Hours\nFraming,2\n") == [("missing_performed_on", [])]
    assert imported("Work,Hours\nFraming,2\n", constants={"performed_on": "2025-03-04"}).labor[0].hours == 2
    assert len(imported("Date,Work,Hours\n2025-03-04,A,1\n2025-03-04,B,1\n", leave_out=(3,)).labor) == 1


def test_a_stated_total_of_hours_that_is_another_one_is_told() -> None:
    # 2 + 3.5 = 5.5; then 4: 9.5 in all. The first total is right, the second one says 9.
    table = "Date,Work,Hours\n2025-03-04,Framing,2\n2025-03-05,Paint,3½\n,Total,5.5\n2025-03-06,Oil,4\n,Total,9\n"
    result = imported(table)
    (note,) = (each for each in result.notes if each.code == "total_differs")
    assert note.about == "6"
    assert note.parameters == {"stated": "9", "sum": "9.50"}
    assert "total_differs" not in notes(imported(table.replace("Total,9", "Total,9:30")))
    assert "total_differs" not in notes(imported(table.replace("Total,9", "Total,4")))  # since the last total
    # A row that is left out stands in the total below it: 1 + 2 = 3.
    partly = "Date,Work,Hours\n2025-03-04,Travel,1\n2025-03-04,Framing,2\n,Total,3\n"
    assert "total_differs" not in notes(imported(partly, leave_out=(2,)))
    assert "total_differs" in notes(imported(partly.replace("Total,3", "Total,2.5"), leave_out=(2,)))
    # A total that is left out is one all the same: after it, 4 alone.
    parted = "Date,Work,Hours\n2025-03-04,Framing,3\n,Total,3\n2025-03-05,Oil,4\n,Total,4\n"
    assert "total_differs" not in notes(imported(parted, leave_out=(3,)))
    # Three times 20 minutes are an hour, though each is 0.33.
    third = "Date,Work,Hours\n2025-03-04,Framing,20 min\n,Paint,20 min\n,Oil,20 min\n,Total,1\n"
    result = imported(third, fill_down=["performed_on"])
    assert ([entry.task for entry in result.labor], "total_differs" in notes(result)) == (
        ["Framing", "Paint", "Oil"],
        False,
    )


def test_the_name_of_the_day_may_stand_before_it_and_a_day_without_a_year_is_told() -> None:
    table = "Date,Work,Hours\nSat 28/3/26,Framing,2\nSo. 29/3/26,Paint,3\n"
    assert [entry.performed_on.isoformat() for entry in imported(table).labor] == ["2026-03-28", "2026-03-29"]
    assert faults(table + "15/2,Oil,1\n") == [("A4", "The year is missing")]
    assert faults(table + "Box 15/2/26,Oil,1\n") == [("A4", "Not a value of its column")]


CALENDAR = """BEGIN:VCALENDAR
VERSION:2.0
PRODID:-//example//EN
BEGIN:VEVENT
UID:1
DTSTART:20250304T090000Z
DTEND:20250304T113000Z
SUMMARY:Trailer: framing
END:VEVENT
BEGIN:VEVENT
UID:2
DTSTART;TZID=America/New_York:20250305T220000
DURATION:PT90M
SUMMARY:Trailer\\, wiring
END:VEVENT
BEGIN:VEVENT
UID:3
DTSTART;VALUE=DATE:20250306
SUMMARY:Trailer show
END:VEVENT
BEGIN:VEVENT
UID:4
DTSTART:20250307T090000Z
DTEND:20250307T100000Z
RRULE:FREQ=WEEKLY
SUMMARY:Trailer club
END:VEVENT
BEGIN:VEVENT
UID:5
DTSTART:20250308T090000Z
DTEND:20250308T100000Z
STATUS:CANCELLED
SUMMARY:Trailer paint
END:VEVENT
BEGIN:VEVENT
UID:6
DTSTART:20250309T090000Z
DTEND:20250309T100000Z
SUMMARY:Dentist
END:VEVENT
END:VCALENDAR
""".replace("\n", "\r\n")


def test_a_calendar_gives_hours_and_says_what_it_leaves_out() -> None:
    """9:00 to 11:30 is 2.5 hours; 90 minutes are 1.5, on the day where they began."""
    result = imported(CALENDAR, words="trailer")
    assert [(entry.performed_on.isoformat(), entry.task, entry.hours) for entry in result.labor] == [
        ("2025-03-04", "Trailer: framing", Decimal("2.50")),
        ("2025-03-05", "Trailer, wiring", Decimal("1.50")),
    ]
    assert notes(result) == ["event_all_day", "event_repeats", "event_canceled", "own_unpaid_hours"]
    assert [entry.task for entry in imported(CALENDAR).labor][-1] == "Dentist"


def test_a_broken_calendar_is_refused() -> None:
    with pytest.raises(UnreadableFileError, match="calendar is damaged"):
        imported("BEGIN:VCALENDAR\r\nBEGIN:VEVENT\r\nDTSTART:soon\r\n")


def calendar(*lines: str) -> bytes:
    """A calendar with an event for each text of lines."""
    events = (f"BEGIN:VEVENT\r\n{text}\r\nEND:VEVENT\r\n" for text in lines)
    return f"BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//me//cal//EN\r\n{''.join(events)}END:VCALENDAR\r\n".encode()


NEVER = "FREQ=SECONDLY;COUNT=2;BYMONTH=2;BYMONTHDAY=30"


@pytest.mark.parametrize("rule", ["FREQ=HOURLY;COUNT=3", NEVER, "FREQ=DAILY;COUNT=1001"])
def test_what_repeats_several_times_a_day_or_too_often_is_left_out_at_once(rule: str) -> None:
    """Looking for a day that never comes takes hours."""
    result = imported(repeating_calendar(1, rule))
    assert [entry.task for entry in result.labor] == ["x"]
    assert "event_repeats" in notes(result)


def test_a_calendar_whose_events_repeat_too_often_together_is_refused() -> None:
    rule = "FREQ=DAILY;UNTIL=20250101T000000Z"
    with pytest.raises(UnreadableFileError, match="too many events that repeat"):
        imported(repeating_calendar(1001, rule))


WEEKLY = (
    "UID:2@x\r\nSUMMARY:Evening\r\nDTSTART;TZID=America/Los_Angeles:20250401T180000\r\n"
    "DTEND;TZID=America/Los_Angeles:20250401T203000\r\n"
)


@pytest.mark.parametrize(
    ("rule", "days"),
    [
        # Tuesdays from April 1, 2025: 1, 8, 15, 22, 29.
        ("RRULE:FREQ=WEEKLY;COUNT=4", ["2025-04-01", "2025-04-08", "2025-04-15", "2025-04-22"]),
        (
            "RRULE:FREQ=WEEKLY;COUNT=4\r\nEXDATE;TZID=America/Los_Angeles:20250415T180000",
            ["2025-04-01", "2025-04-08", "2025-04-22"],
        ),
        # 18:00 in Los Angeles is 01:00 of the next day in UTC: the 8th still begins before the end, the 15th does not.
        ("RRULE:FREQ=WEEKLY;UNTIL=20250409T010000Z", ["2025-04-01", "2025-04-08"]),
        ("RRULE:FREQ=WEEKLY;UNTIL=20250409T005959Z", ["2025-04-01"]),
        ("RDATE;TZID=America/Los_Angeles:20250403T180000", ["2025-04-01", "2025-04-03"]),
    ],
)
def test_a_repeating_event_with_an_end_counts_on_each_of_its_days(rule: str, days: list[str]) -> None:
    result = imported(calendar(WEEKLY + rule))
    assert [entry.performed_on.isoformat() for entry in result.labor] == days
    assert {str(entry.hours) for entry in result.labor} == {"2.50"}
    assert "event_repeated" in notes(result)


def test_a_day_that_was_moved_counts_where_it_was_moved_to() -> None:
    moved = (
        "UID:2@x\r\nSUMMARY:Evening\r\nRECURRENCE-ID;TZID=America/Los_Angeles:20250408T180000\r\n"
        "DTSTART;TZID=America/Los_Angeles:20250409T180000\r\nDTEND;TZID=America/Los_Angeles:20250409T190000"
    )
    result = imported(calendar(WEEKLY + "RRULE:FREQ=WEEKLY;COUNT=2", moved))
    assert [(entry.performed_on.isoformat(), str(entry.hours)) for entry in result.labor] == [
        ("2025-04-01", "2.50"),
        ("2025-04-09", "1.00"),
    ]


@pytest.mark.parametrize(
    "rule",
    [
        *("FREQ=WEEKLY", "FREQ=DAILY;COUNT=1001", "FREQ=SECONDLY;UNTIL=20350101T000000Z", "FREQ=HOURLY;COUNT=2"),
        *("FREQ=YEARLY;COUNT=22", "FREQ=MONTHLY;UNTIL=20450501T000000Z", "FREQ=DAILY;COUNT=2;BYHOUR=9"),
        *("FREQ=DAILY;BYMONTH=2;BYMONTHDAY=30;COUNT=3", "FREQ=SECONDLY;BYMONTH=2;BYMONTHDAY=30;COUNT=3"),
        "FREQ=DAILY;COUNT=2;INTERVAL=0",
    ],
)
def test_an_event_without_an_end_is_told_and_left_out(rule: str) -> None:
    one = "UID:9\r\nSUMMARY:One\r\nDTSTART:20250322T090000\r\nDTEND:20250322T150000"
    result = imported(calendar(f"{WEEKLY}RRULE:{rule}", one))
    assert [entry.task for entry in result.labor] == ["One"]
    assert "event_repeats" in notes(result)


@pytest.mark.parametrize(
    "rule",
    [
        *("FREQ=DAILY;INTERVAL=3", "FREQ=DAILY;BYDAY=MO,WE;BYMONTH=5,6", "FREQ=WEEKLY;BYDAY=TU,SA"),
        *("FREQ=WEEKLY;INTERVAL=2;BYDAY=MO,SU;WKST=SU", "FREQ=WEEKLY;INTERVAL=2;BYDAY=MO,SU", "FREQ=MONTHLY"),
        *(
            "FREQ=MONTHLY;BYDAY=1SA,-1SU",
            "FREQ=MONTHLY;BYDAY=MO,TU,WE,TH,FR;BYSETPOS=-1",
            "FREQ=MONTHLY;BYMONTHDAY=31,-2",
        ),
        *("FREQ=MONTHLY;INTERVAL=5;BYMONTHDAY=-1", "FREQ=YEARLY", "FREQ=YEARLY;BYMONTH=4,11;BYDAY=5SA,2MO"),
        *("FREQ=YEARLY;BYMONTH=7", "FREQ=YEARLY;INTERVAL=2;BYDAY=MO;BYSETPOS=1,-1"),
    ],
)
def test_the_days_of_a_rule_are_those_that_a_library_finds(rule: str) -> None:
    """dateutil, an implementation that is independent of this one."""
    start, until = datetime(2025, 3, 29, 18), datetime(2028, 3, 29, 18)  # noqa: DTZ001
    theirs = [each.date() for each in rrulestr(f"{rule};UNTIL=20280329T180000", dtstart=start)]
    assert repeated_days(vRecur.from_ical(rule), start.date(), until.date(), Days()) == tuple(theirs)


def test_a_calendar_takes_little_time_whatever_its_rules() -> None:
    """A rule that no day fits; a zone whose own rule never ends, were it read; events within each other."""
    endless = "RRULE:FREQ=DAILY;BYDAY=MO,TU,WE,TH,FR;BYMONTHDAY=1,2,3,4,5;BYSETPOS=2;COUNT=3"
    zone = f"BEGIN:VTIMEZONE\r\nTZID:Own\r\nBEGIN:STANDARD\r\n{endless}\r\nEND:STANDARD\r\nEND:VTIMEZONE\r\n"
    one = calendar("SUMMARY:One\r\nDTSTART;TZID=Own:20250322T090000\r\nDTEND;TZID=Own:20250322T150000")
    began = process_time()
    (entry,) = imported(one.replace(b"BEGIN:VEVENT", zone.encode() + b"BEGIN:VEVENT")).labor
    assert entry.hours == 6
    for lines, refused in [
        ([f"DTSTART:20250322T090000\r\n{endless}"] * 5_000, "too many events that repeat"),
        (["DTSTART:20250322T090000\r\nRRULE:FREQ=DAILY;COUNT=1000"] * 5_000, "more than 10,000 events"),
        (["DTSTART:20250322T090000"] * 100_000, "The calendar is too long"),
        (["BEGIN:VEVENT\r\n" * 5_000 + "END:VEVENT\r\n" * 5_000], "calendar is damaged"),
    ]:
        with pytest.raises((UnreadableFileError, InvalidInputError), match=refused):
            imported(calendar(*lines))
    assert process_time() - began < 6


@pytest.mark.parametrize(
    "lines",
    [
        "DURATION:PT99999999999999H",
        "RRULE:COUNT=2",
        "RRULE:FREQ=DAILY;COUNT=-1",
        "RRULE:FREQ=DAILY;UNTIL=00010101T000000Z",
    ],
)
def test_an_event_of_impossible_times_is_refused(lines: str) -> None:
    for start in ("DTSTART:1e99999999", "SUMMARY:No start"):
        with pytest.raises(UnreadableFileError, match="calendar is damaged"):
            imported(calendar(start))
    with pytest.raises(UnreadableFileError, match="calendar is damaged"):
        imported(calendar(f"DTSTART;TZID=Pacific/Kiritimati:20250322T090000\r\n{lines}"))


def test_a_log_is_known_by_its_words_in_french_too() -> None:
    log = "Jour\tTravail\tTemps\n2026-05-03\tstructure\t6 h\n2026-05-09\tfenêtres\t3 h 30\n2026-05-24\ttôle\t5,5 h\n"
    hours = [(entry.task, str(entry.hours.normalize())) for entry in imported(log, "fr-CA").labor]
    assert hours == [("structure", "6"), ("fenêtres", "3.5"), ("tôle", "5.5")]
