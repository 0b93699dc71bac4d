// Package site writes the files of a web site into a folder, whole or not at all, and never over
// anything that is not its own.
//
// A site carries a list of its files with their SHA-256 digests (FIPS 180-4) in a file of its own, Mark.
// A folder is written over only when it is empty, or when that list names all that is in it and nothing
// in it was changed since. So whatever somebody put beside a site, or changed in it, stays.
package site

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"tuckring/internal/words"
)

// File is one file of a site. Its name has no more than letters, digits, ".", "-" and "_", and "/"
// between folders.
type File struct {
	Name string
	Data []byte
}

// Mark is the name of the file by which a site is known again.
const Mark = "tuckring-site.txt"

// mostNamed is how many strange files a refusal names; of more it gives the number.
const mostNamed = 3

// Write puts the files into the folder dir, in the place of an earlier site if one stands there. The
// folder above must exist. It fails with a words.Text, and then leaves everything as it was.
//
// The new site is built in a folder beside dir and takes its name when it is whole. Should the machine
// stop between these two steps, the earlier site is found in that folder, named .tuckring-….
func Write(dir string, files []File) error {
	dir, err := place(dir)
	if err != nil {
		return err
	}
	if err := mayReplace(dir, dir); err != nil {
		return err
	}
	beside, err := os.MkdirTemp(filepath.Dir(dir), ".tuckring-*")
	if err != nil {
		return failed(dir, err)
	}
	defer os.Remove(beside) // empty, unless something of somebody's turned up in the earlier site
	fresh, old := filepath.Join(beside, "new"), filepath.Join(beside, "old")
	defer os.RemoveAll(fresh) // gone already when all went well
	if err := build(fresh, files); err != nil {
		return failed(dir, err)
	}
	return swap(dir, fresh, old)
}

// place is the folder itself, without links on the way, so that it can be renamed.
func place(dir string) (string, error) {
	whole, err := filepath.Abs(dir)
	if err != nil {
		return "", failed(dir, err)
	}
	if _, err := os.Lstat(whole); err == nil {
		if whole, err = filepath.EvalSymlinks(whole); err != nil {
			return "", failed(dir, err)
		}
	}
	return whole, nil
}

// build writes the files and their list into a new folder.
func build(dir string, files []File) error {
	for _, f := range append(slices.Clone(files), File{Mark, list(files)}) {
		name := filepath.Join(dir, filepath.FromSlash(f.Name))
		if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
			return err
		}
		if err := os.WriteFile(name, f.Data, 0o644); err != nil {
			return err
		}
	}
	return nil
}

// list is the text of Mark: a line that says what it is, then digest and name of each file, as sha256sum
// writes and checks them.
func list(files []File) []byte {
	lines := make([]string, 0, len(files))
	for _, f := range files {
		lines = append(lines, fmt.Sprintf("%s  %s\n", digest(f.Data), f.Name))
	}
	slices.SortFunc(lines, func(a, b string) int { return strings.Compare(a[2*sha256.Size:], b[2*sha256.Size:]) })
	return []byte(words.English.T("site.mark") + "\n" + strings.Join(lines, ""))
}

func digest(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}

// swap gives the new site its name. The earlier one steps aside first, is looked at once more, and
// comes back if it may not be replaced after all or the new one cannot take its place.
func swap(dir, fresh, old string) error {
	switch err := os.Rename(dir, old); {
	case os.IsNotExist(err):
		old = ""
	case err != nil:
		return failed(dir, err)
	}
	err := mayReplace(old, dir)
	if err == nil {
		if err = os.Rename(fresh, dir); err == nil {
			return clear(old)
		}
		err = failed(dir, err)
	}
	if old != "" {
		if back := os.Rename(old, dir); back != nil {
			return words.T("site.aside", "Folder", dir, "Place", old, "Reason", reason(back))
		}
	}
	return err
}

// clear removes an earlier site that stepped aside: its own files, and the folders that are empty then.
func clear(old string) error {
	if old == "" {
		return nil
	}
	found, err := look(old)
	if err != nil {
		return words.T("site.left", "Place", old, "Reason", reason(err))
	}
	for _, name := range slices.Concat(found.own, []string{Mark}) {
		if err := os.Remove(filepath.Join(old, name)); err != nil && !os.IsNotExist(err) {
			return words.T("site.left", "Place", old, "Reason", reason(err))
		}
	}
	slices.Reverse(found.folders) // the inner ones first
	for _, name := range found.folders {
		if err := os.Remove(filepath.Join(old, name)); err != nil {
			return words.T("site.left", "Place", old, "Reason", reason(err))
		}
	}
	return nil
}

// mayReplace is nil when the folder does not exist, is empty, or holds an earlier site and nothing
// else; otherwise it says why not, calling the folder by the given name.
func mayReplace(dir, name string) error {
	if dir == "" {
		return nil
	}
	info, err := os.Stat(dir)
	switch {
	case os.IsNotExist(err):
		return nil
	case err != nil:
		return failed(name, err)
	case !info.IsDir():
		return words.T("site.file", "Folder", name)
	}
	found, err := look(dir)
	switch {
	case err != nil:
		return failed(name, err)
	case len(found.own) == 0 && !found.marked && len(found.strange) == 0:
		return nil
	case !found.marked:
		return words.T("site.not_ours", "Folder", name)
	case len(found.strange) > 0:
		return words.T("site.strange", "Folder", name, "Count", len(found.strange), "Files", named(found.strange))
	}
	return nil
}

// named lists the first of some names.
func named(names []string) string {
	if len(names) > mostNamed {
		return strings.Join(names[:mostNamed], ", ") + ", …"
	}
	return strings.Join(names, ", ")
}

// contents is what is in a folder, by names within it.
type contents struct {
	marked  bool     // it carries the list of a site
	own     []string // files that the site wrote and nobody changed
	folders []string // the folder itself and the site's folders, outer ones first
	strange []string // all else
}

// look tells the files of an earlier site from all others.
func look(dir string) (contents, error) {
	c := contents{}
	written, folders, err := readMark(dir)
	if err != nil {
		return c, err
	}
	c.marked = written != nil
	err = filepath.WalkDir(dir, func(at string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		inside, err := filepath.Rel(dir, at)
		name := filepath.ToSlash(inside)
		switch {
		case err != nil:
			return err
		case d.IsDir() && (name == "." || folders[name]):
			c.folders = append(c.folders, name)
		case d.IsDir():
			c.strange = append(c.strange, name+"/")
			return fs.SkipDir
		case name == Mark && c.marked:
		case !d.Type().IsRegular() || written[name] == "":
			c.strange = append(c.strange, name)
		default:
			data, err := os.ReadFile(at)
			if err != nil {
				return err
			}
			if digest(data) != written[name] {
				c.strange = append(c.strange, name)
				return nil
			}
			c.own = append(c.own, name)
		}
		return nil
	})
	return c, err
}

// readMark reads the list of a site: the digests of its files by name, and its folders. Both are nil when the
// folder has none.
func readMark(dir string) (written map[string]string, folders map[string]bool, err error) {
	at := filepath.Join(dir, Mark)
	if info, err := os.Lstat(at); err != nil || !info.Mode().IsRegular() {
		return nil, nil, nil
	}
	data, err := os.ReadFile(at)
	if err != nil {
		return nil, nil, err
	}
	head, rest, _ := strings.Cut(string(data), "\n")
	if head != words.English.T("site.mark") {
		return nil, nil, nil
	}
	written, folders = map[string]string{}, map[string]bool{}
	for line := range strings.Lines(rest) {
		sum, name, ok := strings.Cut(strings.TrimSuffix(line, "\n"), "  ")
		if !ok || len(sum) != 2*sha256.Size {
			continue
		}
		written[name] = sum
		for up := path.Dir(name); up != "." && up != "/"; up = path.Dir(up) {
			folders[up] = true
		}
	}
	return written, folders, nil
}

func failed(dir string, err error) error {
	return words.T("site.write", "Folder", dir, "Reason", reason(err))
}

// reason is what the system says went wrong, without the path.
func reason(err error) string {
	switch e := err.(type) {
	case *fs.PathError:
		return e.Err.Error()
	case *os.LinkError:
		return e.Err.Error()
	}
	return err.Error()
}
