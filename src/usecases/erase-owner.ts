import { cancelAllTo } from './cancel-untrue.ts';
import type { Caller, Deed } from './deed.ts';
import { ownOwner } from './owner-records.ts';
import { requireVersion } from './version.ts';

/**
 * Erases who an owner is: name, address and telephone go, unsent letters are cancelled, links die.
 * The car's technical history stays; so does a refusal, which is kept under a hash of the address.
 */
export async function eraseOwner(
  deed: Deed,
  caller: Caller,
  id: string,
  version: number | '*' | null,
): Promise<void> {
  await deed.store.write(async ({ records, sql }) => {
    const before = await ownOwner(records, caller, id);
    requireVersion(version, before.version);
    const at = deed.now();
    await cancelAllTo(sql, id, at, 'the owner was erased');
    await records.owner.update({
      where: { id },
      data: {
        name: 'erased',
        email: 'erased@example.invalid',
        addressHash: `erased:${id}`,
        phone: null,
        refusesCalls: true,
        erasedAt: at,
        version: before.version + 1,
      },
    });
    await records.letter.updateMany({
      where: { ownerId: id },
      data: {
        toName: 'erased',
        toAddress: 'erased@example.invalid',
        subject: 'erased',
        text: '',
        html: '',
      },
    });
    await records.link.updateMany({ where: { ownerId: id }, data: { revokedAt: at } });
  });
}
