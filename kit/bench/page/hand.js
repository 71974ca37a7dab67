/** What is in hand on the board and in its lists: the tool, and the room, wall or corner. */
export function inHand() {
  const now = { tool: "walls", room: "", wall: -1 };
  const followers = [];

  function take(changes) {
    Object.assign(now, changes);
    for (const follow of followers) follow(now);
  }

  return { now, take, follow: (does) => followers.push(does) };
}

/** The room in hand among those measured, if there is one. */
export const roomOf = (measure, now) => measure.rooms.find((r) => r.name === now.room);
