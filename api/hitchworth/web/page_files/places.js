// Places of registration and the classes that are defined there, to choose from.

import { askJson, reference } from "./service.js";
import { heading, labelsOf, capital, locale, text } from "./texts.js";

/** Return the places as choices, by name. */
export async function placeChoices() {
  const places = await reference("/v1/jurisdictions");
  const countries = new Intl.DisplayNames([locale()], { type: "region" });
  const nameOf = ({ code, name }) => (/^[A-Z]{2}$/.test(code) && code !== "EU" ? countries.of(code) : name);
  return places
    .filter(({ code }) => /^[A-Z]{2}(-|$)/.test(code))
    .map((place) => [place.code, nameOf(place)])
    .sort(([, one], [, other]) => one.localeCompare(other, locale()));
}

/** Return the classes as choices: those that are defined in a place, if any, apart from all others. */
export async function classChoices(place) {
  const query = place ? { jurisdiction: place } : {};
  const defined = place ? await askJson("GET", "/v1/definitions", { query }) : { items: [] };
  const own = new Set(defined.items.filter(({ role }) => role === "class").map((definition) => definition.class));
  const others = labelsOf("class").filter(([code]) => !own.has(code));
  const first = [...own].map((code) => [code, heading("class", code)]);
  const rest = others.map(([code, name]) => [code, capital(name)]);
  const byName = ([, one], [, other]) => one.localeCompare(other, locale());
  first.sort(byName);
  rest.sort(byName);
  return first.length > 0 ? [[text("classes_defined_there"), first], [text("other_classes"), rest]] : rest;
}
