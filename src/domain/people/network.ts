/**
 * The network that somebody came from: an address without its end, so that it tells a strange place
 * from the usual one and no household from its neighbour. IPv4 keeps three of its four numbers, IPv6
 * three of its eight groups (shop rule). What is no address is `unknown`.
 */
export function networkOf(address: string): string {
  const plain = address.replace(/^::ffff:(?=\d+\.)/i, '').replace(/%.*$/, '');
  if (/^\d{1,3}(\.\d{1,3}){3}$/.test(plain)) {
    return `${plain.split('.').slice(0, 3).join('.')}.0/24`;
  }
  if (!/^[\da-f:]{2,39}$/i.test(plain) || !plain.includes(':')) return 'unknown';
  const [head = '', tail] = plain.toLowerCase().split('::');
  const groups = head === '' ? [] : head.split(':');
  const behind = tail === undefined || tail === '' ? [] : tail.split(':');
  const left = Math.max(0, 8 - groups.length - behind.length);
  const all = [...groups, ...Array.from({ length: left }, () => '0'), ...behind];
  const kept = all.slice(0, 3).map((group) => group.replace(/^0+(?=.)/, ''));
  return `${kept.join(':')}::/48`;
}
