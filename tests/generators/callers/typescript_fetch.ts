// A caller with the client of openapi-generator for typescript-fetch: the stove of the README, then the demo's gap statement.
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

const gaps: string[] = statement.settlements.map((each) => each.gap);
console.log(JSON.stringify([estimate.totals.actualCashValue, ...gaps]));
