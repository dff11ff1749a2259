"""The trend: readings between their levels."""

from __future__ import annotations

from tests.screens.picture import picture
from tests.screens.widgets.stand import Stand, points
from tui.theme import Look
from tui.widgets.trend import Frame, Point, Trend, scale_for


async def test_readings_are_drawn_between_the_needed_line_and_the_cap() -> None:
    trend = Trend()
    app = Stand(trend, look=Look(ascii=True))
    async with app.run_test(size=(41, 8)) as pilot:
        trend.update(points(14.0, 14.0, 14.0), Frame(until=600, needed=13.0, cap=15.0))
        await pilot.pause()
        assert picture(app) == [
            "     15.5 |",
            "cap  15.0 |==============================",
            "          |",
            "          |*..*..*",
            "          |",
            "need 13.0 |------------------------------",
            "     12.5 |",
            "           0             5         min 10",
        ]


def dotted(rows: list[str]) -> set[int]:
    """The heights, in dots from the top, at which the first column of a plot is dotted."""
    marks = ((0x09, 0), (0x12, 1), (0x24, 2), (0xC0, 3))
    cells = [ord(row[11:12] or " ") for row in rows]
    return {
        4 * y + down
        for y, cell in enumerate(cells)
        for dots, down in marks
        if (cell - 0x2800 if cell >= 0x2800 else 0) & dots
    }


async def test_a_reading_is_drawn_on_its_side_of_the_needed_line() -> None:
    trend = Trend()
    app = Stand(trend)
    async with app.run_test(size=(41, 9)) as pilot:
        for value, above in ((13.0, True), (13.001, True), (12.999, False)):
            trend.update([], Frame(needed=13.0, cap=15.0))
            await pilot.pause()
            lines = dotted(picture(app))
            trend.update([Point(0, value)], Frame(needed=13.0, cap=15.0))
            await pilot.pause()
            reading = dotted(picture(app)) - lines
            assert max(reading) < max(lines) if above else min(reading) > max(lines)


async def test_in_ascii_a_reading_never_hides_the_needed_line_it_is_above_or_below() -> None:
    trend = Trend()
    app = Stand(trend, look=Look(ascii=True))
    async with app.run_test(size=(41, 9)) as pilot:
        for value, rows_off in ((13.0, -1), (13.01, -1), (12.99, 1)):
            trend.update([Point(0, value)], Frame(needed=13.0, cap=15.0))
            await pilot.pause()
            first = [row[11:12] for row in picture(app)]
            assert first.index("*") == first.index("-") + rows_off


async def test_a_new_reading_repaints_only_where_it_is() -> None:
    trend = Trend()
    app = Stand(trend)
    async with app.run_test(size=(80, 12)) as pilot:
        trend.update(points(14.0, 13.9), Frame(needed=13.0, cap=15.0))
        await pilot.pause()
        app.sent.clear()
        trend.update(points(14.0, 13.9, 13.9), Frame(needed=13.0, cap=15.0))
        await pilot.pause()
        assert 0 < len("".join(app.sent).encode()) < 80
        app.sent.clear()
        trend.update(points(14.0, 13.9, 13.9), Frame(needed=13.0, cap=15.0))
        await pilot.pause()
        assert app.sent == []


async def test_a_struck_or_late_reading_is_marked_by_its_sign() -> None:
    trend = Trend()
    app = Stand(trend)
    async with app.run_test(size=(60, 10)) as pilot:
        marks = [Point(0, 14), Point(300, 13.6, sign="x"), Point(600, 13.6, sign="L")]
        trend.update(marks, Frame(needed=13.0))
        await pilot.pause()
        plot = "".join(row[11:] for row in picture(app)[:9])
        assert plot.count("x") == 1
        assert plot.count("L") == 1


def test_the_scale_moves_only_when_it_must() -> None:
    first = scale_for([13.0, 15.0], None)
    assert scale_for([12.9, 13.0, 15.0, 15.1], first) is first
    wider = scale_for([0.0, 13.0, 15.0], first)
    assert wider.low == 0.0
    assert wider.high >= 15.0
