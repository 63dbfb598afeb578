// Makes a bare machine ready for the browser tests: on Debian, as root, a missing package is installed;
// anywhere else the run stops here and says what to install. Nothing is skipped.
import { spawnSync } from 'node:child_process'

const needed = [
  { command: 'chromium', flag: '--version', packages: ['chromium', 'fonts-dejavu-core'] },
  { command: 'pdftotext', flag: '-v', packages: ['poppler-utils'] },
]
const there = ({ command, flag }) => spawnSync(command, [flag], { stdio: 'ignore' }).status === 0
const missing = needed.filter(tool => !there(tool))

if (missing.length > 0) {
  const packages = missing.flatMap(tool => tool.packages)
  const mayInstall = process.getuid?.() === 0 && spawnSync('apt-get', ['--version'], { stdio: 'ignore' }).status === 0
  if (mayInstall) {
    const options = {
      stdio: ['ignore', 'ignore', 'inherit'],
      env: { ...process.env, DEBIAN_FRONTEND: 'noninteractive' },
    }
    spawnSync('apt-get', ['-q', 'update'], options)
    spawnSync('apt-get', ['-q', 'install', '-y', '--no-install-recommends', ...packages], options)
  }
  if (!missing.every(there)) {
    console.error(
      `The browser tests need ${missing.map(tool => tool.command).join(' and ')}: apt-get install ${packages.join(' ')}`,
    )
    process.exit(1)
  }
}
