// Writes chess_js.json: random games as chess.js 1.4.0 (BSD-2-Clause) plays and writes them.
//
// Needs Node and npm. In an empty folder:
//
//   npm install chess.js@1.4.0
//   node PATH/TO/record_chess_js.mjs > PATH/TO/chess_js.json
//
// The package is looked up from the folder the command is given in. The random numbers are made
// here from a fixed seed, so a second run writes the same bytes.

import process from "node:process";

import { Chess, row } from "./chess_js_play.mjs";

const SEED = 20231219;
const LONGEST = 80; // plies of a game
const GAMES_PER_START = 4;

const STARTS = [
  "rnbqkbnr/pppppppp/8/8/8/8/PPPPPPPP/RNBQKBNR w KQkq - 0 1",
  "rnbqkbnr/pppppppp/8/8/8/8/PPPPPPPP/RNBQKBNR w KQkq - 0 1",
  "rnbqkbnr/pppppppp/8/8/8/8/PPPPPPPP/RNBQKBNR w KQkq - 0 1",
  "rnbqkbnr/pppppppp/8/8/8/8/PPPPPPPP/RNBQKBNR w KQkq - 0 1",
  // the five common positions for counting moves
  "r3k2r/p1ppqpb1/bn2pnp1/3PN3/1p2P3/2N2Q1p/PPPBBPPP/R3K2R w KQkq - 0 1",
  "8/2p5/3p4/KP5r/1R3p1k/8/4P1P1/8 w - - 0 1",
  "r3k2r/Pppp1ppp/1b3nbN/nP6/BBP1P3/q4N2/Pp1P2PP/R2Q1RK1 w kq - 0 1",
  "rnbq1k1r/pp1Pbppp/2p5/8/2B5/8/PPP1NnPP/RNBQK2R w KQ - 1 8",
  "r4rk1/1pp1qppp/p1np1n2/2b1p1B1/2B1P1b1/P1NP1N2/1PP1QPPP/R4RK1 w - - 0 10",
  // castling on both wings and nothing in the way
  "r3k2r/pppppppp/8/8/8/8/PPPPPPPP/R3K2R w KQkq - 0 1",
  // many men of one kind: files, ranks and squares to tell them apart
  "2n1k1n1/1n3n2/8/8/8/8/1N3N2/2N1K1N1 w - - 0 1",
  "3qk2q/q7/8/8/8/8/Q7/3QK2Q b - - 7 40",
  "Q1Q5/2Q5/8/8/8/6p1/8/1k4K1 w - - 0 60",
  // bare kings: mate and stalemate
  "7k/8/8/8/8/8/2Q2R2/K7 w - - 0 70",
  "k7/6q1/8/8/8/8/P2r4/7K b - - 0 71",
  // pawns face to face: en passant
  "4k3/pppppppp/8/8/8/8/PPPPPPPP/4K3 w - - 0 1",
  "4k3/p1p1p1p1/8/1P1P1P1P/p1p1p1p1/8/1P1P1P1P/4K3 b - - 0 1",
  // pawns about to promote
  "n1n5/PPPk4/8/8/8/8/4Kppp/5N1N b - - 0 1",
  "1r2k1r1/P1P4P/8/8/8/8/p1p4p/1R2K1R1 b - - 0 1",
];

// Random games seldom end in stalemate or a short mate, so these are given: the shortest mate,
// a stalemate at ply 19 (S. Loyd), a stalemate with all 32 men.
const GIVEN = [
  "f3 e5 g4 Qh4#",
  "e3 a5 Qh5 Ra6 Qxa5 h5 h4 Rah6 Qxc7 f6 Qxd7+ Kf7 Qxb7 Qd3 Qxb8 Qh7 Qxc8 Kg6 Qe6",
  "d4 d6 Qd2 e5 a4 e4 Qf4 f5 h3 Be7 Qh2 Be6 Ra3 c5 Rg3 Qa5+ Nd2 Bh4 f3 Bb3 d5 e3 c4 f4",
];

let state = SEED;

/** A number from 0 (included) to 1 (excluded): a linear congruence of 32 bits. */
function chance() {
  state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
  return state / 4294967296;
}

function weight(move) {
  if (move.isKingsideCastle() || move.isQueensideCastle()) return 30;
  if (move.isEnPassant()) return 60;
  if (/^[NBRQ][a-h][1-8]x?[a-h][1-8]/.test(move.san)) return 20; // file and rank needed
  if (move.isPromotion()) return 6;
  if (/[+#]$/.test(move.san)) return 4;
  if (move.isBigPawn()) return 3;
  return 1;
}

function choose(moves) {
  let left = chance() * moves.reduce((sum, move) => sum + weight(move), 0);
  for (const move of moves) {
    left -= weight(move);
    if (left < 0) return move;
  }
  return moves[moves.length - 1];
}

function playGame(start) {
  const game = new Chess(start);
  const plies = [];
  while (plies.length < LONGEST) {
    const moves = game.moves({ verbose: true });
    if (moves.length === 0 || game.isInsufficientMaterial()) break;
    const { san } = choose(moves);
    game.move(san, { strict: true });
    plies.push(row(game, san));
  }
  return { start, plies };
}

function playGiven(moves) {
  const game = new Chess();
  const start = game.fen();
  const plies = moves.split(" ").map((san) => {
    game.move(san, { strict: true });
    return row(game, san);
  });
  return { start, plies };
}

const games = [
  ...STARTS.flatMap((start) => Array.from({ length: GAMES_PER_START }, () => playGame(start))),
  ...GIVEN.map(playGiven),
];
process.stdout.write(`[\n${games.map((game) => JSON.stringify(game)).join(",\n")}\n]\n`);
