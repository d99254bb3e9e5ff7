// The outbox on the phone: IndexedDB with strict durability. "Saved" means the disk has it.

const DATABASE = "heftwright-outbox";
const SETS = "sets";

function opened() {
  return new Promise((resolve, reject) => {
    const asking = indexedDB.open(DATABASE, 1);
    asking.onupgradeneeded = () => asking.result.createObjectStore(SETS, { keyPath: "id" });
    asking.onsuccess = () => resolve(asking.result);
    asking.onerror = () => reject(asking.error);
  });
}

async function inOneTransaction(mode, work) {
  const database = await opened();
  try {
    return await new Promise((resolve, reject) => {
      const transaction = database.transaction(SETS, mode, { durability: "strict" });
      const asking = work(transaction.objectStore(SETS));
      transaction.oncomplete = () => resolve(asking.result);
      transaction.onerror = () => reject(transaction.error);
      transaction.onabort = () => reject(transaction.error);
    });
  } finally {
    database.close();
  }
}

// resolves only when the transaction completed
export function keep(entry) {
  return inOneTransaction("readwrite", (sets) => sets.put(entry));
}

export function forget(id) {
  return inOneTransaction("readwrite", (sets) => sets.delete(id));
}

export async function everything(card) {
  const all = await inOneTransaction("readonly", (sets) => sets.getAll());
  return all.filter((entry) => entry.card === card).sort((a, b) => a.order - b.order);
}
