// A caller with the types of openapi-typescript: the stove of the README, then the demo's gap statement.
import { readFileSync } from "node:fs";
import createClient from "openapi-fetch";
import type { components, paths } from "./generated.js";

const [address, demo] = process.argv.slice(2) as [string, string];
const client = createClient<paths>({ baseUrl: address });
const estimate = await client.POST("/v1/estimates", {
  body: {
    as_of: "2026-11-01",
    build: {
      name: "Camper",
      currency: "USD",
      components: [
        {
          id: "stove",
          description: "Two-burner stove",
          category: "stove",
          quantity: "1",
          unit_cost: "268.00",
          acquired_on: "2026-02-14",
        },
      ],
    },
  },
});
const request: components["schemas"]["GapRequest"] = JSON.parse(readFileSync(demo, "utf-8"));
const statement = await client.POST("/v1/gap-statements", { body: request });
if (!estimate.data || !statement.data) throw new Error(JSON.stringify([estimate.error, statement.error]));

const gaps: string[] = statement.data.settlements.map((each) => each.gap);
console.log(JSON.stringify([estimate.data.totals.actual_cash_value, ...gaps]));
