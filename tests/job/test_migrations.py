"""The tables that the migrations make are the tables that the program means."""

import pytest
from alembic.autogenerate import compare_metadata
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import text
from tests.job import a_house

from roomwright.job import migrate, tables
from roomwright.job.errors import NewerStoreError
from roomwright.job.store import Store


def test_migrations_from_empty_give_the_metadata(store: Store):
    with store.reading() as connection:
        assert migrate.at(connection) == tables.HEAD
        context = MigrationContext.configure(
            connection, opts={"compare_type": True, "compare_server_default": True}
        )
        assert compare_metadata(context, tables.metadata) == []


def test_head_is_the_newest_script():
    config = Config()
    config.set_main_option("script_location", str(migrate.SCRIPTS))
    assert ScriptDirectory.from_config(config).get_heads() == [tables.HEAD]


def test_opening_again_changes_nothing(store: Store):
    a_house.build(store)
    with Store(store.url) as again:
        assert len(again.facts("test-house")) == len(a_house.FACTS)


def test_a_store_of_a_newer_program_is_left_alone(store: Store):
    with store._writing() as connection:
        connection.execute(text("UPDATE alembic_version SET version_num = '9999'"))
    with pytest.raises(NewerStoreError, match="newer Roomwright"):
        Store(store.url)


def test_a_moment_comes_back_with_its_zone(store: Store):
    a_house.build(store)
    (entry,) = store.journal("test-house")
    assert entry.at.utcoffset().total_seconds() == 0
    (job,) = store.jobs()
    assert job.changed_at == entry.at
