/**
 * The matter that an occasion belongs to, by its key, so that the letters about one matter can stand
 * together in the reader's mailbox: the stretch that a top stands folded, the due day of a
 * lubrication, the visit that a look follows, a visit. Null for letters that follow from no other.
 */
export function matterOf(key: string): string | null {
  const [, folded] =
    /^folded-(?:nearing|over|still):([^:]+:[^#]*?Z)(?::\d+)?(?::(?:care|stay(?:-[\d-]+)?))?$/.exec(
      key,
    ) ?? [];
  if (folded !== undefined) return `folded:${folded}`;
  const [, oil] =
    /^lubrication-(?:ahead|due|late):([^:]+:\d{4}-\d\d-\d\d)(?::\d+)?(?::(?:care|stay(?:-[\d-]+)?))?$/.exec(
      key,
    ) ?? [];
  if (oil !== undefined) return `lubrication:${oil}`;
  const [, look] = /^look-(?:due|late):([^:]+:\d{4}-\d\d-\d\d)(?::care)?$/.exec(key) ?? [];
  if (look !== undefined) return `look:${look}`;
  const [, visit] = /^visit-(?:booked|moved|called-off|report):([^:#]+):/.exec(key) ?? [];
  return visit === undefined ? null : `visit:${visit}`;
}
