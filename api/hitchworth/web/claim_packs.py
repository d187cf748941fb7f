"""Claim packs as resources: of a document, and of a kept build with the files of its evidence."""

from hitchworth.operations import claim_packs, costs, kept_claim_packs
from hitchworth.operations.renderings import AS_ZIP
from hitchworth.web.builds import BUILD, read
from hitchworth.web.operation import Operation

OPERATIONS: tuple[Operation, ...] = (
    Operation(
        method="POST",
        path="/v1/claim-packs",
        tag="Reports",
        function=claim_packs.create_claim_pack,
        renderings=(AS_ZIP,),
        example="gap-statement",
        further_statuses=(501, 507),
        cost=costs.unknown,
    ),
    read(
        path=BUILD + "/claim-pack",
        function=kept_claim_packs.get_claim_pack,
        cost=costs.unknown,
        renderings=(AS_ZIP,),
        further_statuses=(501, 507),
    ),
)
