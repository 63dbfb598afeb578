import { type Browser, chromium } from 'playwright-core'

/** Debian's Chromium, quiet: it must not look for the network, which a test machine may not have. */
export const openChromium = (): Promise<Browser> =>
  chromium.launch({
    executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium',
    args: [
      '--no-sandbox',
      '--disable-gpu',
      '--disable-quic',
      '--no-first-run',
      '--disable-background-networking',
      '--disable-component-update',
      '--disable-sync',
    ],
  })

export const PHONE = { width: 360, height: 740 }
export const LAPTOP = { width: 1280, height: 800 }
