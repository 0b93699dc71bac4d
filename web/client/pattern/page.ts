// The pattern page: puts the editor together inside the shell that the server rendered.
import { startPattern } from "./app";
import { printPattern } from "./print";

const shell = document.getElementById("pattern");
if (shell) void startPattern(shell);
const pages = document.getElementById("pattern-pages");
if (shell && pages) printPattern(shell.dataset.base ?? "", pages);
