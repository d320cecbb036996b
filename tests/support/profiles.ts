/** The stored profiles, as the command line reads them. */
import coatings from "../../shared/coatings.json" with { type: "json" };
import lenses from "../../shared/lenses.json" with { type: "json" };
import metals from "../../shared/metals.json" with { type: "json" };
import sources from "../../shared/sources.json" with { type: "json" };
import vessels from "../../shared/vessels.json" with { type: "json" };
import { readProfiles } from "../../src/job/profiles.ts";

export const profiles = readProfiles({ lenses, sources, coatings, metals, vessels });
