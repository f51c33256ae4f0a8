// Plays games as chess.js does. Reads a JSON array of {"start": FEN, "moves": [UCI, ...]} from the
// standard input and writes an array of arrays of "SAN COUNT FEN", one string a ply.
//
// Needs Node and the npm package chess.js (BSD-2-Clause), found from the working folder. Used by
// test_chess_js.py, which skips when either is missing.

import { readFileSync } from "node:fs";
import process from "node:process";

import { Chess, row } from "./chess_js_play.mjs";

const games = JSON.parse(readFileSync(0, "utf8"));
const played = games.map(({ start, moves }) => {
  const game = new Chess(start);
  return moves.map((uci) => {
    const [from, to, promotion] = [uci.slice(0, 2), uci.slice(2, 4), uci.slice(4) || undefined];
    return row(game, game.move({ from, to, promotion }).san);
  });
});
process.stdout.write(JSON.stringify(played));
