// One way to write down what chess.js makes of a ply, for the recorder and the live comparison.

import { createRequire } from "node:module";
import { join } from "node:path";
import process from "node:process";

/** chess.js, looked up from the folder the command is given in. */
export const { Chess } = createRequire(join(process.cwd(), "here.js"))("chess.js");

/**
 * "SAN COUNT FEN": the move just played, the number of legal moves after it, the position.
 * chess.js writes an en passant square only where such a capture is legal.
 */
export function row(game, san) {
  return `${san} ${game.moves().length} ${game.fen()}`;
}
