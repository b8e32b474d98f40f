/* The day's clock as last told, and how times are written. */

const clock = { speed: 0, at: 0, ahead: 0, told: null };

/** Take the clock as told. A telling held up on its way must not turn the countdown back. */
export function setClock(at, speed = clock.speed) {
  const ahead = at - (performance.now() / 1000) * speed;
  const late = clock.ahead - ahead;
  if (speed !== clock.speed || late < 0 || late > 0.5 * speed) clock.ahead = ahead;
  Object.assign(clock, { speed, at });
}

/** Which wall time belongs to a time of the day: `at`, `speed`, `wall_s`, `offset_min` of a picture. */
export function setWall(picture) {
  clock.told = picture;
}

/** The day's time in seconds; at speed 0 it is what was last told. */
export const now = () =>
  clock.speed === 0 ? clock.at : clock.ahead + (performance.now() / 1000) * clock.speed;

export const standing = () => clock.speed === 0;

/** The brewer's wall clock at a time of the day, in ms to be read as if they were UTC. */
export function wallMs(at) {
  const { wall_s, offset_min, speed, at: told } = clock.told;
  return (wall_s + (at - told) / (speed || 1) + offset_min * 60) * 1000;
}

export const wall = (at) => new Date(wallMs(at)).toISOString().slice(11, 16);

/** `12:34`, `1:02:03`; a begun second counts whole, so 0:00 is the moment it is due. */
export function countdown(seconds) {
  const whole = Math.max(Math.ceil(seconds - 1e-6), 0);
  const two = (n) => String(n).padStart(2, "0");
  const [h, m, s] = [Math.floor(whole / 3600), Math.floor(whole / 60) % 60, whole % 60];
  return h ? `${h}:${two(m)}:${two(s)}` : `${m}:${two(s)}`;
}

/** Time since `at`, as a countdown is written; only whole seconds have passed. */
export const since = (at) => countdown(Math.floor(Math.max(now() - at, 0)));

/** `12 s`, `4 min`, `1 h 5 min`; with `fine` the seconds of a minute too. */
export function elapsed(seconds, fine = false) {
  const whole = Math.max(Math.floor(seconds), 0);
  if (whole < 60) return `${whole} s`;
  const minutes = Math.floor(whole / 60);
  if (minutes >= 60) return `${Math.floor(minutes / 60)} h ${minutes % 60} min`;
  return fine ? `${minutes} min ${whole % 60} s` : `${minutes} min`;
}
