import { unflung } from "./dom.js";
import { roomOf } from "./hand.js";
import { lengthWords, off, placed, settled, shifted, squared, within } from "./snap.js";

const TAP_PX = 6;
const CORNER_PX = 22;
const WALL_PX = 14;
const PULL_PX = 11;

/** Fingers and mouse on the board: what is under them, and what they make of it. */
export function drags({ el, ground, hand, wish, measured, preview }) {
  let drag = null;

  const point = (event) => {
    const box = el.getBoundingClientRect();
    return [event.clientX - box.left, event.clientY - box.top];
  };
  const apart = (a, b) => Math.hypot(a[0] - b[0], a[1] - b[1]);
  const pull = () => PULL_PX / ground.view.px;
  const allCorners = (but) => measured().rooms.filter((r) => r !== but && r.walls.length).flatMap((r) => r.corners);
  const ringOf = (room) => room.corners.slice(0, -1);
  const roomAt = (place) => measured().rooms.find((r) => !r.open && within(place, ringOf(r)));

  /** What lies under a place of the screen, with the tool in hand. */
  function under(at) {
    const place = ground.under(at);
    const { tool } = hand.now;
    const room = roomOf(measured(), hand.now);
    if (tool === "column") return columnAt(at) ?? { kind: "place" };
    if (tool !== "walls") return { kind: "place" };
    if (room) {
      const last = room.corners.length - 1;
      const corner = room.walls.length
        ? room.corners.findLastIndex((c) => apart(ground.at(c), at) <= CORNER_PX) : -1;
      if (room.open && corner === last) return { kind: "draw", room };
      if (corner >= 0) return { kind: "corner", room, corner: corner === last ? 0 : corner };
      const wall = room.walls.findIndex(
        (_, i) => off(place, [room.corners[i], room.corners[i + 1]]) * ground.view.px <= WALL_PX);
      if (wall >= 0) return { kind: "wall", room, wall };
    }
    const over = roomAt(place);
    if (over && over !== room) return { kind: "other", room: over };
    if (over) return { kind: "room", room };
    return { kind: "draw", room: room?.open ? room : null };
  }

  function columnAt(at) {
    for (const room of measured().rooms)
      for (const [column, one] of room.columns.entries()) {
        const reach = Math.max(CORNER_PX, (Math.max(...one.size_ft) / 2) * ground.view.px);
        if (apart(ground.at(one.at), at) <= reach) return { kind: "column", room, column };
      }
    return null;
  }

  function begin(event) {
    if (event.button || event.target.closest(".tools, .scale") || !measured()) return;
    const at = point(event);
    const tag = event.target.closest(".wall-tag:not(.short)");
    const room = roomOf(measured(), hand.now);
    const what = tag && room ? { kind: "wall", room, wall: Number(tag.dataset.number) } : under(at);
    el.setPointerCapture(event.pointerId);
    drag = { ...what, from: at, id: event.pointerId, moved: false, makes: null };
    if (!tag && !event.target.closest(".corner")) event.preventDefault();
  }

  function move(event) {
    if (!drag || event.pointerId !== drag.id) return;
    const at = point(event);
    if (!drag.moved && apart(at, drag.from) < TAP_PX) return;
    drag.moved = true;
    const to = ground.under(at);
    const begun = ground.under(drag.from);
    drag.makes = MAKES[drag.kind]?.(drag, to, [to[0] - begun[0], to[1] - begun[1]]) ?? null;
    preview(drag.makes?.shows ?? null);
  }

  function end(event) {
    if (!drag || event.pointerId !== drag.id) return;
    const done = drag;
    drag = null;
    preview(null);
    if (event.type === "pointercancel") return;
    if (!done.moved) tap(done);
    else if (done.makes) wish(done.makes.wish);
  }

  function tap({ kind, room, wall, from }) {
    const [east_ft, north_ft] = ground.under(from);
    const { tool } = hand.now;
    if (tool === "doorway" || tool === "way_out") wish({ do: tool, east_ft, north_ft });
    else if (tool === "column") {
      const inside = roomAt([east_ft, north_ft]);
      if (kind === "column") hand.take({ room: room.name });
      else if (inside) {
        hand.take({ room: inside.name });
        const [e, n] = placed([east_ft, north_ft], [], 0);
        wish({ do: "column", room: inside.name, east_ft: e, north_ft: n });
      }
    } else if (kind === "wall") hand.take({ wall });
    else if (kind === "other") hand.take({ room: room.name, wall: -1 });
    else hand.take({ wall: -1 });
  }

  const MAKES = {
    draw({ room, from }, to) {
      const corners = allCorners(room?.walls.length ? null : room);
      const start = room?.walls.length ? room.corners.at(-1) : placed(ground.under(from), corners, pull());
      const others = corners.filter((c) => c !== start);
      const stop = squared(start, to, others, pull());
      if (apart(start, stop) < 0.05) return null;
      return {
        shows: { corners: [...(room?.walls.length ? room.corners : [start]), stop], ring: false, wall: [start, stop], at: stop },
        wish: { do: "draw", room: room?.name ?? "", from_east_ft: start[0], from_north_ft: start[1],
          east_ft: stop[0], north_ft: stop[1] },
      };
    },

    corner({ room, corner }, to) {
      const here = room.corners[corner];
      const others = [...allCorners(room), ...room.corners.filter((c) => apart(c, here) > 1e-6)];
      const stop = placed(to, others, pull(), here);
      const corners = room.corners.map((c) => (apart(c, here) < 1e-6 ? stop : c));
      return {
        shows: ringed(room, corners, [room.corners[corner - 1] ?? corners.at(-2), stop], stop),
        wish: { do: "corner", room: room.name, corner, east_ft: stop[0], north_ft: stop[1] },
      };
    },

    wall({ room, wall }, to, by) {
      const ends = [room.corners[wall], room.corners[wall + 1]];
      const { by: by_ft, right } = shifted(ends, by, [...allCorners(room), ...room.corners], pull());
      if (Math.abs(by_ft) < 1e-6) return null;
      const moved = ends.map(([e, n]) => [e + by_ft * right[0], n + by_ft * right[1]]);
      const corners = room.corners.map((c) => {
        const end = ends.findIndex((e) => apart(e, c) < 1e-6);
        return end < 0 ? c : moved[end];
      });
      return {
        shows: ringed(room, corners, room.open ? moved : null, to),
        wish: { do: "wall_shift", room: room.name, wall, by_ft },
      };
    },

    room({ room }, to, by) {
      const others = measured().rooms.filter((r) => r !== room && r.walls.length).map((r) => r.corners);
      const [east_ft, north_ft] = settled(room.corners, others, by, pull());
      if (!east_ft && !north_ft) return null;
      return {
        shows: ringed(room, room.corners.map(([e, n]) => [e + east_ft, n + north_ft]), null, to),
        wish: { do: "room_move", room: room.name, east_ft, north_ft },
      };
    },

    column({ room, column }, to) {
      const stop = placed(to, [], 0);
      const [west, south] = [0, 1].map((k) => Math.min(...room.corners.map((c) => c[k])));
      if (stop[0] < west || stop[1] < south) return null;
      return {
        shows: { corners: [room.columns[column].at, stop], ring: false, at: stop },
        wish: { do: "column_place", room: room.name, column, east: lengthWords(stop[0] - west), north: lengthWords(stop[1] - south) },
      };
    },
  };

  const ringed = (room, corners, wall, at) => room.open
    ? { corners, ring: false, wall, at } : { corners: corners.slice(0, -1), ring: true, wall, at };

  unflung(el).addEventListener("pointerdown", begin);
  el.addEventListener("pointermove", move);
  el.addEventListener("pointerup", end);
  el.addEventListener("pointercancel", end);
  return { isDragging: () => Boolean(drag?.moved) };
}
