// What this phone keeps until the computer has confirmed it (IndexedDB).
// recording: the one recording of this page. waiting: what is still to be sent, in order.
// crumbs: blocks that are not yet a piece, so that a closed page costs a second and no more.
let opened = null;

function database() {
  opened ??= new Promise((resolve, reject) => {
    const asked = indexedDB.open("ashdraft-table", 1);
    asked.onupgradeneeded = () => {
      const made = asked.result;
      made.createObjectStore("recording");
      made.createObjectStore("waiting", { autoIncrement: true });
      made.createObjectStore("crumbs", { autoIncrement: true });
    };
    asked.onsuccess = () => resolve(asked.result);
    asked.onerror = () => reject(asked.error);
  });
  return opened;
}

async function within(stores, mode, work) {
  const db = await database();
  return new Promise((resolve, reject) => {
    const change = db.transaction(stores, mode, { durability: "strict" });
    const result = work(...stores.map((name) => change.objectStore(name)));
    change.oncomplete = () => resolve(result && "result" in result ? result.result : undefined);
    change.onerror = change.onabort = () => reject(change.error);
  });
}

export const recording = () => within(["recording"], "readonly", (store) => store.get("now"));
export const remember = (what) =>
  within(["recording"], "readwrite", (store) => store.put(what, "now"));
export const forget = () => within(["recording"], "readwrite", (store) => store.delete("now"));

/** Keep the recording as it is now and what is to be sent of it, both or neither. */
export const queue = (what, item, clearCrumbs = false) =>
  within(["recording", "waiting", "crumbs"], "readwrite", (now, waiting, crumbs) => {
    now.put(what, "now");
    waiting.add(item);
    if (clearCrumbs) crumbs.clear();
  });

export const count = () => within(["waiting"], "readonly", (store) => store.count());
export const sent = (id) => within(["waiting"], "readwrite", (store) => store.delete(id));

export async function first(after = 0) {
  const range = IDBKeyRange.lowerBound(after, true);
  let found = null;
  await within(["waiting"], "readonly", (store) => {
    const asked = store.openCursor(range);
    asked.onsuccess = () => {
      if (asked.result) found = { id: asked.result.key, ...asked.result.value };
    };
  });
  return found;
}

export const crumb = (what) => within(["crumbs"], "readwrite", (store) => store.add(what));
export const crumbs = () => within(["crumbs"], "readonly", (store) => store.getAll());
export const sweep = () => within(["crumbs"], "readwrite", (store) => store.clear());
