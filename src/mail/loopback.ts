const LOOPBACK = /^(localhost|127(\.\d{1,3}){3}|::1)$/;

/** Whether a host name or address means this machine, so that nobody listens on the way. */
export function isLoopback(host: string): boolean {
  return LOOPBACK.test(host);
}

/** The host of a URL, in lower case, without the brackets of an IPv6 address. */
export function hostOf(url: URL): string {
  return url.hostname.replace(/^\[|\]$/g, '').toLowerCase();
}
