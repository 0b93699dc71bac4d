// The pattern page: puts the editor together inside the shell that the server rendered.
import { startPattern } from "../pattern/app";
import { printPattern } from "../pattern/print";

const shell = document.getElementById("pattern");
if (shell) void startPattern(shell);
const pages = document.getElementById("pattern-pages");
if (shell && pages) printPattern(shell.dataset.base ?? "", pages);
