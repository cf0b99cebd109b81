"""The JSON Schema for editors is the one that the deck's own shape gives."""

import json
from typing import Any

from trainer.authoring.schema import deck_schema, schema_text
from trainer.authoring.tables import TABLES
from trainer.paths import shipped_decks

SHIPPED = shipped_decks() / "deck.schema.json"


def test_shipped_schema_is_the_generated_one() -> None:
    assert json.loads(SHIPPED.read_text("utf-8")) == deck_schema()
    assert json.loads(schema_text()) == deck_schema()


def test_every_name_is_described_and_none_may_be_null() -> None:
    schema = deck_schema()
    tables: list[dict[str, Any]] = [schema, *schema["$defs"].values()]
    fields = [field for table in tables for field in table["properties"].values()]
    assert all(field["description"].endswith(".") for field in fields)
    assert "null" not in schema_text()
    assert all(table["additionalProperties"] is False for table in tables)


def test_schema_knows_the_names_of_every_table() -> None:
    schema = deck_schema()
    by_model = {"WrittenDeck": schema, **schema["$defs"]}
    for table in TABLES.values():
        described = by_model[table.model.__name__]
        assert set(described["properties"]) == set(table.names)
        assert set(described.get("required", ())) == {name for name, needed in table.names.items() if needed}


def test_words_of_the_trade_are_offered() -> None:
    count = deck_schema()["$defs"]["WrittenCount"]["properties"]
    assert count["foot"]["enum"] == ["left", "right", "same", "other", "both"]
    assert {"step", "T", "toe to heel"} <= set(count["place"]["enum"])
    assert deck_schema()["$defs"]["WrittenChange"]["properties"]["drop"]["const"] is True
