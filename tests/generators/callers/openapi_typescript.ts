// A caller with the types of openapi-typescript: the stove of the README, the demo's gap statement, two facts.
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
const facts = { has_cooking: false, has_sink: { value: false, planned: true } };
const document = await client.POST("/v1/documents", { body: { build: { name: "Camper", currency: "USD", facts } } });
if (!estimate.data || !statement.data || !document.data)
  throw new Error(JSON.stringify([estimate.error, statement.error, document.error]));

const gaps: string[] = statement.data.settlements.map((each) => each.gap);
const kept = document.data.build.facts!;
const sink = kept["has_sink"] as components["schemas"]["Measurement"];
const told = [String(kept["has_cooking"]), String(sink.value)];
console.log(JSON.stringify([estimate.data.totals.actual_cash_value, ...gaps, ...told]));
