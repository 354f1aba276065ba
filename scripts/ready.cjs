// Runs before start, test and check: makes sure that the dependencies of this lock file are there.
// Plain old JavaScript, so that an old Node can still say what is wrong.
'use strict'
var childProcess = require('child_process')
var crypto = require('crypto')
var fs = require('fs')
var path = require('path')

var OLDEST_NODE = 20
var root = path.join(__dirname, '..')
var stamp = path.join(root, 'node_modules', '.holdbell-ready')

function stop(sentence) {
  console.error('holdbell: ' + sentence)
  process.exit(1)
}

if (Number(process.versions.node.split('.')[0]) < OLDEST_NODE)
  stop(
    'Node ' +
      process.versions.node +
      ' is too old. Install Node ' +
      OLDEST_NODE +
      ' or newer, then run this again.',
  )

var lock = crypto
  .createHash('sha256')
  .update(fs.readFileSync(path.join(root, 'package-lock.json')))
  .digest('hex')

if (!fs.existsSync(stamp) || fs.readFileSync(stamp, 'utf8') !== lock) {
  console.log('holdbell: installing what it needs, once (about 30 seconds) …')
  var npm = process.env.npm_execpath
  var result = npm
    ? childProcess.spawnSync(process.execPath, [npm, 'ci', '--include=dev'], {
        cwd: root,
        stdio: 'inherit',
      })
    : childProcess.spawnSync('npm', ['ci', '--include=dev'], {
        cwd: root,
        stdio: 'inherit',
        shell: true,
      })
  // 127: the shell found no such command.
  if (result.error || result.status === 127)
    stop('npm was not found. It comes with Node: install Node from your system’s packages.')
  if (result.status !== 0)
    stop(
      'npm could not install the dependencies (see above). Is this machine connected to a registry?',
    )
  fs.writeFileSync(stamp, lock)
}
