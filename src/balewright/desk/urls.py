"""The site map, on one screen. A name is the page's folder; parts of a page follow a dot."""

from __future__ import annotations

from typing import Final

from django.urls import URLPattern, path, register_converter

from balewright.desk import failing
from balewright.desk.addresses import SerialInAddress
from balewright.desk.bale import page as bale
from balewright.desk.beside import page as beside
from balewright.desk.book import page as book
from balewright.desk.case_phone import page as case_phone
from balewright.desk.case_phone import read_page as case_read
from balewright.desk.cases import deeds as case_deeds
from balewright.desk.cases import links as case_links
from balewright.desk.cases import page as cases
from balewright.desk.causes import page as causes
from balewright.desk.columns import page as columns
from balewright.desk.counts import page as counts
from balewright.desk.fault_network import page as network
from balewright.desk.feedback import page as feedback
from balewright.desk.fields import page as fields
from balewright.desk.files import page as files
from balewright.desk.finding import page as finding
from balewright.desk.fleet import page as fleet
from balewright.desk.health import page as health
from balewright.desk.help import page as help_page
from balewright.desk.intake import page as intake
from balewright.desk.intake import pieces
from balewright.desk.kept_settings import page as kept_settings
from balewright.desk.lessons import page as lessons
from balewright.desk.links import page as links
from balewright.desk.machine import page as machine
from balewright.desk.machines import page as machines
from balewright.desk.misplaced import page as misplaced
from balewright.desk.outlook import page as outlook
from balewright.desk.people import page as people
from balewright.desk.personal import page as personal
from balewright.desk.prices import page as prices
from balewright.desk.record import page as record
from balewright.desk.rolls import page as rolls
from balewright.desk.senders import door
from balewright.desk.senders import page as senders
from balewright.desk.service_costs import page as service_costs
from balewright.desk.shared import page as shared
from balewright.desk.sheet import page as sheet
from balewright.desk.sign_in import page as sign_in
from balewright.desk.today import page as today

register_converter(SerialInAddress, "serial")

urlpatterns: Final[list[URLPattern]] = [
    path("", today.show_today, name="today"),
    path("sign-in", sign_in.SignIn.as_view(), name="sign_in"),
    path("sign-out", sign_in.sign_out, name="sign_out"),
    path("health", health.show_health, name="health"),
    path("help", help_page.show_help, name="help"),
    path("machines", machines.show_machines, name="machines"),
    path("machines/add", machines.add_machine, name="machines.add"),
    path("machines/<serial:serial>", machine.show_machine, name="machine"),
    path("machines/<serial:serial>/outlook", outlook.show_outlook, name="outlook"),
    path(
        "machines/<serial:serial>/outlook/pictures", outlook.show_pictures, name="outlook.pictures"
    ),
    path("machines/<serial:serial>/counts", counts.show_page, name="counts"),
    path("machines/<serial:serial>/counts/swap", counts.keep_swap, name="counts.swap"),
    path("machines/<serial:serial>/counts/back/<int:at_us>", counts.take_back, name="counts.back"),
    path("machines/<serial:serial>/counts/strike", counts.strike, name="counts.strike"),
    path("machines/<serial:serial>/causes", causes.show_causes, name="causes"),
    path("machines/<serial:serial>/record", record.show_record, name="record"),
    path("machines/<serial:serial>/bales", bale.show_bales, name="bales"),
    path("machines/<serial:serial>/bales/<str:key>", bale.show_bale, name="bale"),
    path("machines/<serial:serial>/bales/<str:key>/correct", bale.correct, name="bale.correct"),
    path("machines/<serial:serial>/bales/<str:key>/back", bale.take_back, name="bale.take_back"),
    path("machines/<serial:serial>/settings", kept_settings.show_settings, name="settings"),
    path("machines/<serial:serial>/settings/keep", kept_settings.keep, name="settings.keep"),
    path("sheet", sheet.fill_form, name="sheet"),
    path("sheet/result", sheet.show_result, name="sheet.result"),
    path("sheet/keep", sheet.keep, name="sheet.keep"),
    path("sheet/what-if", beside.ask_form, name="sheet.what_if"),
    path("sheet/<str:sheet_id>/what-if", beside.ask_kept, name="sheet.kept.what_if"),
    path("sheet/<str:sheet_id>/beside", beside.choose_other, name="sheet.beside.choose"),
    path("sheet/<str:sheet_id>/beside/<str:other_id>", beside.show_beside, name="sheet.beside"),
    path("sheet/<str:sheet_id>", sheet.show_kept, name="sheet.kept"),
    path("sheet/<str:sheet_id>/card.pdf", files.send_file, {"name": "a5.pdf"}, name="sheet.card"),
    path("sheet/<str:sheet_id>/files", files.show_files, name="files"),
    path("sheet/<str:sheet_id>/files/task.zip", files.send_task_data, name="files.task"),
    path("sheet/<str:sheet_id>/files/<str:name>", files.send_file, name="files.one"),
    path("sheet/<str:sheet_id>/links", links.show_links, name="links"),
    path(
        "sheet/<str:sheet_id>/links/<int:link_id>/withdraw", links.withdraw, name="links.withdraw"
    ),
    path("sheet/<str:sheet_id>/feedback", feedback.take_feedback, name="feedback"),
    path("s/worker.js", shared.send_worker, name="shared.worker"),
    path("s/<str:token>", shared.show_shared, name="shared"),
    path("s/<str:token>/card.pdf", shared.send_shared_card, name="shared.card"),
    path("s/<str:token>/sheet.html", shared.send_shared_file, name="shared.file"),
    path("s/<str:token>/answer", shared.take_answer, name="shared.answer"),
    path("c/worker.js", shared.send_worker, name="case_phone.worker"),
    path("c/<str:token>", case_phone.show_case, name="case_phone"),
    path("c/<str:token>/pack.json", case_phone.send_pack, name="case_phone.pack"),
    path("c/<str:token>/entries", case_phone.take_entries, name="case_phone.entries"),
    path("c/<str:token>/page.html", case_phone.send_page, name="case_phone.file"),
    path("d/<str:token>", case_read.show_case, name="case_read"),
    path("d/<str:token>/case.pdf", case_read.send_pdf, name="case_read.pdf"),
    path("d/<str:token>/photos/<str:sha256>", case_read.send_photo, name="case_read.photo"),
    path("intake", intake.show_intake, name="intake"),
    path("intake/recent", intake.show_recent, name="intake.recent"),
    path("intake/uploads", pieces.begin, name="intake.uploads"),
    path("intake/uploads/<str:key>", pieces.upload, name="intake.upload"),
    path("intake/uploads/<str:key>/forget", intake.forget_upload, name="intake.forget"),
    path("intake/reports/<str:sha256>", intake.show_report, name="intake.report"),
    path("intake/reports/<str:sha256>/report.json", intake.send_report, name="intake.json"),
    path("intake/<str:ticket>", intake.show_ticket, name="intake.ticket"),
    path("intake/<str:ticket>/progress", intake.show_progress, name="intake.progress"),
    path("intake/<str:ticket>/state", intake.tell_state, name="intake.state"),
    path("intake/<str:ticket>/stop", intake.stop, name="intake.stop"),
    path("in/<str:sender>", door.hand_over, name="door"),
    path("in/<str:sender>/<int:delivery>", door.tell_delivery, name="door.delivery"),
    path("senders", senders.show_senders, name="senders"),
    path("senders/<str:key>/withdraw", senders.withdraw, name="senders.withdraw"),
    path("columns", columns.show_maps, name="columns"),
    path("columns/import", columns.take_map, name="columns.import"),
    path("columns/maps/<str:key>", columns.send_map, name="columns.map"),
    path("columns/maps/<str:key>/withdraw", columns.withdraw, name="columns.withdraw"),
    path("columns/tables/<str:key>", columns.show_table, name="columns.table"),
    path("columns/tables/<str:key>/preview", columns.show_preview, name="columns.preview"),
    path("book", book.show_book, name="book"),
    path("book.csv", book.send_csv, name="book.csv"),
    path("fleet", fleet.show_fleet, name="fleet"),
    path("fleet/rolls", fleet.show_batches, name="fleet.rolls"),
    path("fleet/people", fleet.show_people, name="fleet.people"),
    path("fleet/people/allow", fleet.allow, name="fleet.people.allow"),
    path("fleet/people/forbid", fleet.forbid, name="fleet.people.forbid"),
    path("findings/<str:key>", finding.show_finding, name="finding"),
    path("findings/<str:key>/aside", finding.set_aside, name="finding.aside"),
    path("findings/<str:key>/back", finding.take_back, name="finding.back"),
    path("misplaced", misplaced.show_misplaced, name="misplaced"),
    path("misplaced/<str:key>/accept", misplaced.accept, name="misplaced.accept"),
    path("misplaced/<str:key>/back", misplaced.take_back, name="misplaced.back"),
    path("fields", fields.show_fields, name="fields"),
    path("fields/add", fields.add, name="fields.add"),
    path("fields/<str:key>/remove", fields.remove, name="fields.remove"),
    path("rolls", rolls.show_rolls, name="rolls"),
    path("prices", prices.show_prices, name="prices"),
    path("causes", causes.show_causes_of_profile, name="causes.profile"),
    path("causes/heard", causes.show_heard, name="causes.heard"),
    path("cases", cases.show_cases, name="cases"),
    path("cases/open", case_deeds.open_one, name="cases.open"),
    path("cases/take-in", case_deeds.take_in, name="cases.take_in"),
    path("cases/<str:key>", cases.show_case, name="case"),
    path("cases/<str:key>/answer", case_deeds.answer, name="case.answer"),
    path("cases/<str:key>/report", case_deeds.report, name="case.report"),
    path("cases/<str:key>/back", case_deeds.take_back, name="case.back"),
    path("cases/<str:key>/found", case_deeds.found, name="case.found"),
    path("cases/<str:key>/repaired", case_deeds.repaired, name="case.repaired"),
    path("cases/<str:key>/righted", case_deeds.righted, name="case.righted"),
    path("cases/<str:key>/prove", case_deeds.prove, name="case.prove"),
    path("cases/<str:key>/close", case_deeds.close, name="case.close"),
    path("cases/<str:key>/reopen", case_deeds.reopen, name="case.reopen"),
    path("cases/<str:key>/note", case_deeds.note, name="case.note"),
    path("cases/<str:key>/claim", case_deeds.claim, name="case.claim"),
    path("cases/<str:key>/photos", case_deeds.photo, name="case.photo.add"),
    path("cases/<str:key>/photos/<str:sha256>", cases.send_photo, name="case.photo"),
    path("cases/<str:key>/share", case_links.share, name="case.share"),
    path("cases/<str:key>/links/<int:link_id>/withdraw", case_links.withdraw, name="case.withdraw"),
    path("cases/<str:key>/case.pdf", case_links.send_pdf, name="case.pdf"),
    path("network", network.show_network, name="network"),
    path("network/<str:key>", network.show_cause, name="network.cause"),
    path("lessons", lessons.show_lessons, name="lessons"),
    path("lessons/accept", lessons.accept, name="lessons.accept"),
    path("lessons/back", lessons.take_back, name="lessons.back"),
    path("service-costs", service_costs.show_service_costs, name="service_costs"),
    path("personal", personal.show_personal, name="personal"),
    path("personal/rule", personal.set_rule, name="personal.rule"),
    path("personal/let-go", personal.let_go, name="personal.let_go"),
    path("personal/held", personal.ask_held, name="personal.held"),
    path("personal/erase", personal.erase, name="personal.erase"),
    path("people", people.show_people, name="people"),
    path("<path:way>/", failing.without_slash, name="without_slash"),
]

handler400 = "balewright.desk.failing.bad_request"
handler403 = "balewright.desk.failing.forbidden"
handler404 = "balewright.desk.failing.not_found"
handler500 = "balewright.desk.failing.our_fault"
