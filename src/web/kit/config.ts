import { Refusal } from '../../domain/refusal.js'

export type Config = {
  dataFolder: string
  host: string
  port: number
  /** 'proxy': an https proxy stands in front; 'loopback': only this machine; 'plain': said to be wanted on the network. */
  transport: 'proxy' | 'loopback' | 'plain'
  /** What all photographs together may take up, in bytes. */
  photographsMostBytes: number
}

const KNOWN = ['TIE_DATA', 'TIE_HTTPS', 'TIE_PLAIN_HTTP', 'TIE_PHOTOGRAPHS_MB']
const LOOPBACK = /^(127\.\d+\.\d+\.\d+|localhost|::1)$/

const wrong = (sentence: string) => new Refusal('wrong', sentence)

function readPort(typed: string): number {
  const port = Number(typed)
  if (!/^\d{1,5}$/.test(typed) || port > 65_535) throw wrong(`PORT must be a number from 0 to 65535, not "${typed}".`)
  return port
}

/** 20 GB: some forty thousand photographs. */
function readPhotographsMb(typed = '20000'): number {
  if (!/^\d{1,8}$/.test(typed)) throw wrong(`TIE_PHOTOGRAPHS_MB must be a number of megabytes, not "${typed}".`)
  return Number(typed) * 1_000_000
}

function readSwitch(environment: NodeJS.ProcessEnv, name: string): boolean {
  const typed = environment[name] ?? 'no'
  if (typed !== 'yes' && typed !== 'no') throw wrong(`${name} must be yes or no, not "${typed}".`)
  return typed === 'yes'
}

function readTransport(environment: NodeJS.ProcessEnv, host: string): Config['transport'] {
  if (readSwitch(environment, 'TIE_HTTPS')) return 'proxy'
  if (LOOPBACK.test(host)) return 'loopback'
  if (readSwitch(environment, 'TIE_PLAIN_HTTP')) return 'plain'
  throw wrong(
    `HOST=${host} would serve the workshop over plain http to the network, where a passphrase can be overheard. ` +
      'Put an https proxy in front and set TIE_HTTPS=yes (see README), or say TIE_PLAIN_HTTP=yes if that is really wanted.',
  )
}

/** Reads the settings from the environment; a wrong or unknown one is refused in words, before anything starts. */
export function readConfig(environment: NodeJS.ProcessEnv): Config {
  const unknown = Object.keys(environment).filter(key => key.startsWith('TIE_') && !KNOWN.includes(key))
  if (unknown.length > 0)
    throw wrong(`${unknown.join(', ')} is not a setting. The settings are ${KNOWN.join(', ')}, HOST and PORT.`)
  const host = environment.HOST ?? '127.0.0.1'
  return {
    dataFolder: environment.TIE_DATA ?? './data',
    host,
    port: readPort(environment.PORT ?? '4700'),
    transport: readTransport(environment, host),
    photographsMostBytes: readPhotographsMb(environment.TIE_PHOTOGRAPHS_MB),
  }
}
