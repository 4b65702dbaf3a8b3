"""The keys of a recipe and of a shop as controls of the page, and what is typed into one."""

from solids.app.desk.keys.controls import FIRST_IN_SHOP as FIRST_IN_SHOP
from solids.app.desk.keys.controls import WOODS as WOODS
from solids.app.desk.keys.controls import controls as controls
from solids.app.desk.keys.controls import shop_controls as shop_controls
from solids.app.desk.keys.controls import wood_controls as wood_controls
from solids.app.desk.keys.values import value_of as value_of
from solids.app.desk.keys.values import values_of as values_of
