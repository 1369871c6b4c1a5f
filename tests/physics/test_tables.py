import pytest

from benchassist.physics.tables import TableError, parse_table

HEAD = "# source: a book\n# licence: none\n# confidence: published\n"


def test_a_table_tells_where_it_comes_from():
    table = parse_table(HEAD + "\nwavelength_nm, weight\n400, 1\n405, 2.5\n")

    assert table.head["source"] == "a book"
    assert table.curve("wavelength_nm", "weight") == ((400.0, 405.0), (1.0, 2.5))


def test_rows_of_one_key_make_one_curve():
    table = parse_table(HEAD + "liquid,nm,n\na,400,1.1\nb,400,1.2\na,405,1.3\n")

    assert table.keys() == ("a", "b")
    assert table.curve("nm", "n", key="a") == ((400.0, 405.0), (1.1, 1.3))


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("nm,n\n400,1\n", "source and licence and confidence"),
        (HEAD, "no rows"),
        (HEAD + "nm,n\n400\n", "Line 5 has 1 cells"),
    ],
)
def test_an_unreadable_table_is_refused(text, sentence):
    with pytest.raises(TableError, match=sentence):
        parse_table(text)


def test_a_curve_that_is_not_there_is_refused():
    table = parse_table(HEAD + "liquid,nm,n\na,400,x\n")

    with pytest.raises(TableError, match="no column k"):
        table.curve("nm", "k")
    with pytest.raises(TableError, match="no rows for b"):
        table.curve("nm", "n", key="b")
    with pytest.raises(TableError, match="not a number"):
        table.curve("nm", "n", key="a")
