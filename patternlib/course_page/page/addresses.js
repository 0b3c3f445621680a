/* How the files of the course are kept in the browser. The pages and the worker in the background both read this.
 * site: the address of the learner's own page, with a slash at its end. */
self.courseFiles = (site) => ({
  /** The name of the store: two courses on one server have two. */
  store: `course ${new URL(site).pathname}`,
  /** The name of a file in the store: what is asked of it does not matter, and a folder is its index.html. */
  named(address) {
    const { origin, pathname } = new URL(address, site);
    return origin + pathname.replace(/\/$/, "/index.html");
  },
  /** Whether an address is a file of the course, and not a question that the notebooks answer themselves. */
  isFile(address) {
    return address.startsWith(site) && !/^api\/(drive|stdin)\b/.test(address.slice(site.length));
  },
  /** Whether a file of this name never changes, because its edition stands in it. */
  isLasting(address) {
    const { pathname } = new URL(address, site);
    return /\/static\/pyodide-[0-9a-f]+\//.test(pathname) || /\.[0-9a-f]{7,}\.[a-z0-9]+$/.test(pathname);
  },
});
