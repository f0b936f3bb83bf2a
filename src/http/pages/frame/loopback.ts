/** True for an address of a socket whose other end is on this machine. */
export function isLoopbackAddress(address: string): boolean {
  return address === '::1' || /^(::ffff:)?127\.\d{1,3}\.\d{1,3}\.\d{1,3}$/.test(address);
}

/** True for a host, with or without a port, that always means the machine that asks. */
export function isLoopbackHost(host: string): boolean {
  return /^(localhost|127\.\d{1,3}\.\d{1,3}\.\d{1,3}|\[::1\])(:\d{1,5})?$/i.test(host);
}
