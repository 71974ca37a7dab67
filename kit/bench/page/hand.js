/**
 * What is in hand on the board and in its lists: the tool, and the room, wall or corner; and
 * whether it waits for a room that was asked for, so that no other is taken up meanwhile.
 */
export function inHand() {
  const now = { tool: "walls", room: "", wall: -1, waits: false };
  const names = new Map();
  const followers = [];

  function take(changes) {
    Object.assign(now, changes.room ? { waits: false } : {}, changes);
    for (const follow of followers) follow(now);
  }

  /** A room is called otherwise from now on; what was asked of it before still means it. */
  function rename(from, to) {
    if (from) names.set(from, to);
    take({ room: to, wall: -1 });
  }

  /** The room among those measured that was meant when `room` was in hand, begun or not. */
  function meant(room, rooms) {
    if (!room || rooms.some((r) => r.name === room)) return room || now.room;
    return names.get(room) ?? room;
  }

  return { now, take, rename, meant, follow: (does) => followers.push(does) };
}

/** The room in hand among those measured, if there is one. */
export const roomOf = (measure, now) => measure.rooms.find((r) => r.name === now.room);
