// Runs the program of figures, compiled to Wasm, and prints the text that it leaves in its memory.
// node tests/reference/figures.mjs figures.wasm
import { readFileSync } from 'node:fs'

const { instance } = await WebAssembly.instantiate(readFileSync(process.argv[2]), {})
instance.exports.main(0, 0)
const memory = Buffer.from(instance.exports.memory.buffer)
const end = memory.lastIndexOf('figures-end\n')
const begin = memory.lastIndexOf('figures-begin\n', end)
if (begin < 0 || end < 0) throw new Error('the program left no figures')
process.stdout.write(memory.subarray(begin + 'figures-begin\n'.length, end))
