// A caller with the client of openapi-generator for typescript-fetch: the stove of the README, the demo's gap statement, two facts.
import { readFileSync } from "node:fs";
import { AppraisalApi, Configuration, GapRequestFromJSON } from "./generated/index.js";

const [address, demo] = process.argv.slice(2) as [string, string];
const appraisal = new AppraisalApi(new Configuration({ basePath: address }));
const estimate = await appraisal.createEstimate({
  estimateRequest: {
    asOf: new Date("2026-11-01"),
    build: {
      name: "Camper",
      currency: "USD",
      components: [
        {
          id: "stove",
          description: "Two-burner stove",
          category: "stove",
          quantity: "1",
          unitCost: "268.00",
          acquiredOn: new Date("2026-02-14"),
        },
      ],
    },
  },
});
const request = GapRequestFromJSON(JSON.parse(readFileSync(demo, "utf-8")));
const statement = await appraisal.createGapStatement({ gapRequest: request });
const facts = { has_cooking: false, has_sink: { value: false, planned: true } };
const document = await appraisal.createDocument({
  gapRequest: { build: { name: "Camper", currency: "USD", facts } },
});

const gaps: string[] = statement.settlements.map((each) => each.gap);
const kept = document.build.facts!;
const told = [String(kept["has_cooking"]), String(kept["has_sink"].value)];
console.log(JSON.stringify([estimate.totals.actualCashValue, ...gaps, ...told]));
