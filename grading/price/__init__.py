"""What a bag costs a customer: wishes within an order form, the price rule line by line, the form's schema."""

from grading.price.currency import Currency, currency_of
from grading.price.form import Offer, write_form
from grading.price.lines import Line
from grading.price.price import Price, price_bag, rule_of
from grading.price.wish import Wish, WrittenWish, read_wish
from grading.price.writing import write_price

__all__ = [
    "Currency",
    "Line",
    "Offer",
    "Price",
    "Wish",
    "WrittenWish",
    "currency_of",
    "price_bag",
    "read_wish",
    "rule_of",
    "write_form",
    "write_price",
]
