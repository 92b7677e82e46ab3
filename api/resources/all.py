"""All controllers, in the order in which they are described."""

from api.resources.batches import BatchController
from api.resources.booklets import BookletController
from api.resources.charts import ChartController
from api.resources.checks import CheckController
from api.resources.differences import DifferenceController
from api.resources.drafts import DraftController
from api.resources.endpoints import EndpointController
from api.resources.form_tokens import FormTokenController
from api.resources.grades import GradeController
from api.resources.health import HealthController
from api.resources.interface import InterfaceController
from api.resources.jobs import JobController
from api.resources.keys import CallerController, KeyController
from api.resources.layouts import LayoutsController
from api.resources.maps import MapController
from api.resources.notifications import NotificationController
from api.resources.order_forms import OrderFormController
from api.resources.orders import OrderController, PacketController
from api.resources.patterns import PatternController
from api.resources.pictures import PictureController
from api.resources.quotes import QuoteController
from api.resources.ranges import RangeController
from api.resources.sheets import SheetController
from api.resources.substitutions import SubstitutionController
from api.resources.supplies import SuppliesController
from api.resources.testing import TesterRecordController
from api.resources.verifications import VerificationController

CONTROLLERS = (
    PatternController,
    ChartController,
    MapController,
    DifferenceController,
    CheckController,
    DraftController,
    GradeController,
    PictureController,
    BatchController,
    RangeController,
    LayoutsController,
    JobController,
    SuppliesController,
    BookletController,
    SheetController,
    SubstitutionController,
    OrderFormController,
    QuoteController,
    OrderController,
    PacketController,
    EndpointController,
    NotificationController,
    TesterRecordController,
    VerificationController,
    KeyController,
    CallerController,
    FormTokenController,
    InterfaceController,
    HealthController,
)
