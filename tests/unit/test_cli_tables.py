"""Tables of the command line: 80 columns, and no word cut off."""

from tenths.cli.show import table


def test_a_last_word_that_has_no_room_beside_stands_below_uncut(capsys):
    table([["x" * 70, "highest speed, throttle shut"], ["y", "idle"]])
    lines = capsys.readouterr().out.splitlines()
    assert lines[0] == "x" * 70
    assert lines[1] == "highest speed, throttle shut".rjust(80)
    assert lines[2].endswith("idle".rjust(80)[-4:])
    assert all(len(line) <= 80 for line in lines)
    assert not any("..." in line for line in lines)
