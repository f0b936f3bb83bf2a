import type { Keeping, KeepingQuestion } from '../../domain/lubrication/keeping.ts';
import { untoldOf } from '../../domain/lubrication/keeping.ts';
import { changeCar } from '../cars/change-car.ts';
import type { OwnerDoor } from '../cars/owner-car.ts';
import { ownCarOf } from '../cars/owner-car.ts';
import { actingAs } from '../context/acting.ts';
import type { Context } from '../context/context.ts';

/**
 * Notes what an owner tells of how the car is kept; its oil is worked out anew. Only what nobody has
 * told yet is taken: a link answers questions, it overrules no record of the shop.
 */
export async function tellKeeping(
  context: Context,
  door: OwnerDoor,
  carId: string,
  told: { readonly [Question in KeepingQuestion]?: Keeping[Question] | undefined },
): Promise<void> {
  const { car, caller } = await ownCarOf(context, door, carId);
  const open = untoldOf(car as Pick<Keeping, KeepingQuestion>);
  const news = open.flatMap((question) => {
    const answer = told[question];
    return answer === undefined || answer === null ? [] : [[question, answer] as const];
  });
  if (news.length === 0) return;
  const keeping = Object.fromEntries(news);
  await actingAs(context, caller, () => changeCar(context, caller, car.id, { keeping }, '*'));
}
