"""`crewdesk backup` and `restore --from`."""

import json

from crewdesk.cli import main


def test_back_up_look_and_return(desk, job, told, tmp_path, now) -> None:
    job.close(now)
    stick = tmp_path / "stick"
    stick.mkdir()
    status, out = told("backup", "--to", str(stick))
    assert status == 0
    assert out.startswith("Backed up 1 job and your business, ")
    assert "Read back and checked." in out
    assert "same disk" not in out
    status, out = told("restore", "--from", str(stick))
    assert "hill-house (Hill house): the same" in out
    told("undo", "hill-house")
    status, out = told("restore", "--from", str(stick))
    assert "1 change here that the backup doesn't have" in out
    status, out = told("restore", "hill-house", "--from", str(stick))
    assert (status, "returned to the backup" in out) == (0, True)


def test_backup_without_a_place_says_that_it_is_on_the_same_disk(desk, job, told, now) -> None:
    job.close(now)
    assert "on the same disk" in told("backup")[1]
    (made,) = (desk.folder / "backups").iterdir()
    values = json.loads(told("backup", "--to", str(made.parent.parent), "--json")[1])
    assert values["jobs"] == 1
    status, _out = told("check")
    assert status == 0


def test_a_new_machine_gets_everything(desk, job, told, tmp_path, now, capsys) -> None:
    job.close(now)
    told("backup", "--to", str(tmp_path))
    fresh = str(tmp_path / "fresh")
    assert main(["--data", fresh, "restore", "--from", str(tmp_path), "--missing"]) == 0
    assert "Copied from the backup: hill-house" in capsys.readouterr().out
    assert main(["--data", fresh, "check"]) == 0


def test_what_does_not_go_together(desk, job, capsys, tmp_path) -> None:
    for words, why in (
        (["restore", "--missing"], "Name the backup as well"),
        (["restore", "hill", "--from", str(tmp_path), "--to", "yesterday"], "not both"),
        (["restore", "--from", str(tmp_path)], "holds no backup"),
    ):
        assert main(["--data", str(desk.folder), *words]) == 2
        assert why in capsys.readouterr().err
