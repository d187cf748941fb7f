"""Serial numbers as resources: the register of a document and of a kept build, and numbers looked up."""

from hitchworth.operations import costs, result_tables, serial_numbers
from hitchworth.operations.renderings import AS_JSON, AS_TABLE
from hitchworth.operations.serial_numbers import SERIAL_NUMBERS
from hitchworth.web.builds import BUILD, read
from hitchworth.web.operation import Operation

OPERATIONS: tuple[Operation, ...] = (
    Operation(
        method="POST",
        path=SERIAL_NUMBERS,
        tag="Appraisal",
        function=serial_numbers.create_serial_number_register,
        cost=costs.of_documentation,
        renderings=(AS_JSON, *AS_TABLE),
        tables=result_tables.SERIAL_NUMBERS,
        example="documented",
    ),
    read(
        path=SERIAL_NUMBERS,
        function=serial_numbers.find_serial_number,
        renderings=(AS_JSON, *AS_TABLE),
        tables=result_tables.FOUND_NUMBERS,
    ),
    read(
        path=BUILD + "/serial-numbers",
        function=serial_numbers.get_serial_number_register,
        cost=costs.unknown,
        renderings=(AS_JSON, *AS_TABLE),
        tables=result_tables.SERIAL_NUMBERS,
    ),
)
