import assert from "node:assert/strict";
import { test } from "node:test";
import { signsFor } from "../pattern/dialogs/sign";
import type { Colour } from "../wire/types";

const colour = (id: string, sign: string, own = false): Colour => ({
  id,
  name: id,
  hex: "#000000",
  sign,
  ...(own ? { own_sign: true } : {}),
});

test("a colour is offered what nobody has, its own sign too, and what another has only by itself", () => {
  const colours = [colour("soot", "S"), colour("chalk", "C"), colour("black", "K", true), colour("new", "")];
  const { free, lent } = signsFor("CKSXY", colours, "soot");
  assert.deepEqual(free, ["S", "X", "Y"]);
  assert.deepEqual(
    lent.map((c) => c.id),
    ["chalk"],
    "black chose K and keeps it",
  );
});
