"""Addresses of the office pages; each area lists its own."""

from tracker.desk.after import urls as after
from tracker.desk.ahead import urls as ahead
from tracker.desk.checks import urls as checks
from tracker.desk.imports import urls as imports
from tracker.desk.inspections import urls as inspections
from tracker.desk.lot import urls as lot
from tracker.desk.money import urls as money
from tracker.desk.people import urls as people
from tracker.desk.plans import urls as plans
from tracker.desk.record import urls as record
from tracker.desk.setup import urls as setup
from tracker.desk.sign_in import urls as sign_in
from tracker.desk.street import urls as street
from tracker.desk.today import urls as today

app_name = "desk"
urlpatterns = [
    *sign_in.urlpatterns,
    *today.urlpatterns,
    *street.urlpatterns,
    *lot.urlpatterns,
    *inspections.urlpatterns,
    *ahead.urlpatterns,
    *plans.urlpatterns,
    *people.urlpatterns,
    *record.urlpatterns,
    *setup.urlpatterns,
    *checks.urlpatterns,
    *imports.urlpatterns,
    *money.urlpatterns,
    *after.urlpatterns,
]
