/**
 * Does pieces of work one after the other, each in a transaction: a piece begins when the deed of the one
 * before is done, while the disk still keeps that one. What came of them is collected in their order, each
 * once it is kept. None begins once it is over; a fault is thrown when nothing is at work any more.
 */
export async function eachWhileKept<Piece, Came>(
  pieces: readonly Piece[],
  work: (piece: Piece, deedIsDone: () => void) => Promise<Came>,
  collect: (came: Came) => void,
  isOver: () => boolean,
): Promise<void> {
  let before: Promise<void> = Promise.resolve();
  for (const piece of pieces) {
    if (isOver()) break;
    let deedIsDone = (): void => undefined;
    const deed = new Promise<void>((resolve) => {
      deedIsDone = resolve;
    });
    const kept = work(piece, deedIsDone);
    const behind = before;
    before = (async () => {
      const [, came] = await Promise.all([behind, kept]);
      collect(came);
    })();
    // Thrown where it is waited for.
    before.catch(() => undefined);
    await Promise.race([deed, kept.catch(() => undefined)]);
    await behind.catch(() => kept.then(() => behind));
  }
  await before;
}
