"""The page of a server that keeps builds: revisions, two tabs, keys, photos, and a disk that is full."""

import json
from collections.abc import Iterator
from importlib.resources import files

import pytest
from playwright.sync_api import Browser, FilePayload, Page, Route, expect

from camera_photos import plate
from hitchworth.demo import demo_body
from hitchworth.model.access import KeyRequest
from hitchworth.model.caller import DEFAULT_WORKSPACE
from hitchworth.operations.keys import new_key
from hitchworth.operations.settings import Settings
from hitchworth.store import open_store
from hitchworth.store.database import IN_MEMORY
from hitchworth.web.server import running
from page_driving import accessibility_faults, change, computed, open_demo, opened

PLATE = files("hitchworth.web.examples").joinpath("plate.jpg").read_bytes()


@pytest.fixture
def keeping(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    store = open_store(str(tmp_path_factory.mktemp("kept") / "builds.db"))
    with running(store=store) as url:
        yield url
    store.close()


def keep(page: Page, revision: int) -> None:
    page.locator("#keep").click()
    expect(page.locator("#saved-state")).to_have_text(f"Kept as revision {revision}.")


def test_a_build_is_kept_found_again_and_changed(browser: Browser, keeping: str) -> None:
    with opened(browser, keeping) as page:
        open_demo(page)
        keep(page, 1)
        change(page, "Deductible", "250")
        expect(page.locator("#saved-state")).to_have_text("Changed since revision 1.")
        keep(page, 2)
        page.get_by_role("link", name="Hitchworth").click()
        page.get_by_role("button", name="Show the list").click()
        page.get_by_role("button", name="Standing-height birch camper").click()
        computed(page)
        assert page.get_by_label("Deductible", exact=True).input_value() == "250"


@pytest.mark.parametrize(
    ("choice", "revisions", "terms"),
    [
        ("Keep mine as the next revision", [3], ("250", "45000.00")),
        ("Take what is kept, drop mine", [2], ("1000.00", "30000")),
        ("Keep mine as another build", [1, 2], ("250", "45000.00")),
    ],
)
def test_two_tabs_on_one_build_are_told_and_choose(
    browser: Browser, keeping: str, choice: str, revisions: list[int], terms: tuple[str, str]
) -> None:
    """terms: the deductible and the limit that the first tab has in the end."""
    with opened(browser, keeping) as page:
        open_demo(page)
        keep(page, 1)
        change(page, "Deductible", "250")
        other = page.context.new_page()
        other.goto(keeping)
        other.get_by_role("button", name="Show the list").click()
        other.get_by_role("button", name="Standing-height birch camper").click()
        computed(other)
        change(other, "Limit", "30000")
        keep(other, 2)
        page.locator("#keep").click()
        told = page.get_by_role("alert")
        expect(told).to_contain_text("has kept revision 2 since you opened it")
        expect(told).to_contain_text("limit from $30,000.00 to $45,000.00; deductible from $1,000.00 to $250.00")
        told.get_by_role("button", name=choice).click()
        expect(page.locator("#saved-state")).to_have_text(f"Kept as revision {revisions[0]}.")
        computed(page)
        kept = page.request.get(f"{keeping}/v1/builds").json()["items"]
        assert sorted(build["revision"] for build in kept) == revisions
        shown = [page.get_by_label(name, exact=True).input_value() for name in ("Deductible", "Limit")]
        assert [float(value) for value in shown] == [float(value) for value in terms]


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_list_and_the_conflict_meet_wcag_aa(browser: Browser, keeping: str, scheme: str) -> None:
    with opened(browser, keeping, color_scheme=scheme) as page:
        open_demo(page)
        keep(page, 1)
        (build,) = page.request.get(f"{keeping}/v1/builds").json()["items"]
        kept = page.request.get(f"{keeping}/v1/builds/{build['id']}")
        document = {name: value for name, value in json.loads(demo_body()).items() if name != "as_of"}
        document["build"]["name"] = "Renamed elsewhere"
        told = {"If-Match": kept.headers["etag"]}
        assert page.request.put(f"{keeping}/v1/builds/{build['id']}", data=document, headers=told).ok
        change(page, "Deductible", "250")
        page.locator("#keep").click()
        expect(page.get_by_role("alert")).to_contain_text("has kept revision 2 since you opened it")
        assert accessibility_faults(page) == []
        page.get_by_role("link", name="Hitchworth").click()
        page.get_by_role("button", name="Show the list").click()
        expect(page.get_by_role("button", name="Renamed elsewhere")).to_be_visible()
        assert accessibility_faults(page) == []


def test_a_lost_answer_to_keeping_makes_no_second_build(browser: Browser, keeping: str) -> None:
    with opened(browser, keeping) as page:
        open_demo(page)

        def lose(route: Route) -> None:
            route.fetch()  # the server gets it, and its answer is lost
            route.abort()

        page.route("**/v1/builds", lose, times=1)
        page.locator("#keep").click()
        expect(page.get_by_role("alert")).to_contain_text("The server did not answer")
        page.get_by_role("button", name="Try again").click()
        expect(page.locator("#saved-state")).to_have_text("Kept as revision 1.")
        assert len(page.request.get(f"{keeping}/v1/builds").json()["items"]) == 1


def test_a_full_disk_keeps_the_work_on_the_page(browser: Browser, keeping: str) -> None:
    problem = {"type": "/problems/store-full", "title": "Full", "status": 507, "detail": "Full."}
    with opened(browser, keeping) as page:
        open_demo(page)
        page.route("**/v1/builds", lambda route: route.fulfill(status=507, json=problem), times=1)
        page.locator("#keep").click()
        expect(page.get_by_role("alert")).to_contain_text("The server's disk is full")
        with page.expect_download() as saved:
            page.get_by_role("button", name="Save as a file").click()
        assert json.loads(saved.value.path().read_text())["build"]["name"] == "Standing-height birch camper"


def test_a_photo_of_the_plate_becomes_evidence(browser: Browser, keeping: str) -> None:
    with opened(browser, keeping) as page:
        open_demo(page)
        camera = page.get_by_label("Take a photo")
        assert (camera.get_attribute("capture"), camera.get_attribute("accept")) == ("environment", "image/*")
        plate: FilePayload = {"name": "plate.jpg", "mimeType": "image/jpeg", "buffer": PLATE}
        page.get_by_label("Choose a photo").set_input_files(plate)
        expect(page.locator(".photos img")).to_be_visible()
        expect(page.locator("#saved-state")).to_have_text("Kept as revision 2.")
        (build,) = page.request.get(f"{keeping}/v1/builds").json()["items"]
        (evidence,) = page.request.get(f"{keeping}/v1/builds/{build['id']}/evidence").json()["items"]
        assert evidence["subjects"] == ["identification_plate"]
        change(page, "Deductible", "250")
        keep(page, 3)
        assert page.request.get(f"{keeping}/v1/builds/{build['id']}/evidence").json()["items"] == [evidence]


def test_the_number_of_a_part_is_read_and_entered_by_the_person(browser: Browser, keeping: str) -> None:
    with opened(browser, keeping) as page:
        open_demo(page)
        (stove,) = [part for part in json.loads(demo_body())["build"]["components"] if part["id"] == "stove"]
        page.get_by_label("What does it show?").select_option("number:stove")
        label: FilePayload = {"name": "label.jpg", "mimeType": "image/jpeg", "buffer": plate("S/N 4711 0822")}
        page.get_by_label("Choose a photo").set_input_files(label)
        page.get_by_role("button", name="Read the number in label.jpg").click()
        shown = page.locator(".photos .ledger")
        expect(shown).to_contain_text("4711 0822", timeout=30_000)
        expect(shown).to_contain_text(f"On record: {stove['serial_number']}")
        page.get_by_role("button", name="Enter 4711 0822").click()
        computed(page)
        keep(page, 3)
        (build,) = page.request.get(f"{keeping}/v1/builds").json()["items"]
        document = page.request.get(f"{keeping}/v1/builds/{build['id']}").json()
        assert [part["serial_number"] for part in document["build"]["components"] if part["id"] == "stove"] == [
            "4711 0822"
        ]


def test_a_key_is_asked_for_refused_and_taken(browser: Browser) -> None:
    store = open_store(IN_MEMORY)
    key = new_key(store, DEFAULT_WORKSPACE, "owner", KeyRequest(name="owner", scope="write")).key
    with (
        running(Settings(port=0, access_log=False, require_keys=True), store=store) as url,
        opened(browser, url) as page,
    ):
        page.get_by_role("button", name="Show the list").click()
        page.get_by_role("textbox", name="Key").fill("hw_mistyped")
        page.get_by_role("button", name="Use this key").click()
        expect(page.get_by_role("heading", name="The key was refused")).to_be_visible()
        page.get_by_role("textbox", name="Key").fill(key)
        page.get_by_role("button", name="Use this key").click()
        expect(page.get_by_text("Nothing is kept yet.")).to_be_visible()
        stored = page.evaluate("JSON.stringify([{...localStorage}, {...sessionStorage}, document.cookie])")
        assert key not in stored
