/* Does nothing: barred.js asks whether the browser lets the page have a worker like this one. */
