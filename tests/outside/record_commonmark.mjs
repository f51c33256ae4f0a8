// Writes commonmark.json: the examples of the CommonMark specification, version 0.31.2.
//
// Needs Node and the npm package `commonmark-spec` (its text is CC-BY-SA 4.0). In an empty folder:
//
//   npm install commonmark-spec@0.31.2
//   node PATH/TO/record_commonmark.mjs > PATH/TO/commonmark.json
//
// The package is looked up from the folder the command is given in.

import { createRequire } from "node:module";
import { join } from "node:path";
import process from "node:process";

const require = createRequire(join(process.cwd(), "here.js"));
const { tests } = require("commonmark-spec");

// The specification prints a tab as an arrow.
const tabs = (text) => text.replaceAll("→", "\t");

const rows = tests.map(({ number, section, markdown, html }) =>
  JSON.stringify({ number, section, markdown: tabs(markdown), html: tabs(html) }),
);
process.stdout.write(`[\n${rows.join(",\n")}\n]\n`);
