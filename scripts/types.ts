// Checks every folder's types: the whole of src for the worker, and each pure folder again on its
// own, where neither the platform nor the DOM exists.

import { spawnSync } from 'node:child_process'
import { existsSync, readdirSync } from 'node:fs'

const TSC = 'node_modules/typescript/bin/tsc'

const projects = [
  '.',
  ...readdirSync('src').map((folder) => `src/${folder}`),
  'test',
  'scripts',
].filter((folder) => existsSync(`${folder}/tsconfig.json`))

const failed = projects.filter(
  (project) =>
    spawnSync(process.execPath, [TSC, '--project', project], { stdio: 'inherit' }).status !== 0,
)
if (failed.length > 0) {
  console.error(`types: trouble in ${failed.join(', ')}`)
  process.exit(1)
}
console.log(`types: ${projects.length} projects checked`)
