package main

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/internal/solid/solidtest"
)

// A cylinder of 80 mm and a wall of 10.73 mm a unit (0.58 of a leg of 18.5 mm, from memory) has 23 units around.
func TestSolidMakesAFigure(t *testing.T) {
	dir := t.TempDir()
	model, papers, out := filepath.Join(dir, "Harbour buoy.stl"), write(t, dir, "papers.txt", "#a63a2b Brick red\n#f4efe6 Chalk\n"), filepath.Join(dir, "out.tuckring.json")
	require.NoError(t, os.WriteFile(model, solidtest.Cylinder(80, 160, 64, 8).STL(), 0o600))
	said, errs, code := tuckring(t, "", "solid", model, "--height", "160", "--colours", papers, "--out", out)
	require.Equal(t, 0, code, errs)
	assert.Contains(t, said, "all units are Brick red")
	doc, err := os.ReadFile(out)
	require.NoError(t, err)
	f, err := figure.Read(doc)
	require.NoError(t, err)
	assert.Equal(t, "Harbour buoy", f.Title)
	for i := range f.Rings {
		assert.InDelta(t, math.Pi*80/10.73, len(f.Rings[i].Cells), 1)
	}
	_, errs, code = tuckring(t, "", "check", out)
	require.Equal(t, 0, code, errs)
}

func TestSolidTellsWhatItLeftOut(t *testing.T) {
	dir := t.TempDir()
	papers, out := write(t, dir, "papers.txt", solidtest.Papers), filepath.Join(dir, "out.tuckring.json")
	said, errs, code := tuckring(t, string(solidtest.Owl().GLB()), "solid", "-", "--height", "220", "--units", "30", "--colours", papers, "--title", "Owl", "--out", out, "--json")
	require.Equal(t, 0, code, errs)
	var told struct {
		Rings []struct {
			Ring   int     `json:"ring"`
			Wanted float64 `json:"wanted"`
			Units  int     `json:"units"`
		} `json:"rings"`
		LeftOut []string `json:"left_out"`
		Mean    *float64 `json:"mean_distance_mm"`
	}
	d := json.NewDecoder(strings.NewReader(said))
	d.DisallowUnknownFields()
	require.NoError(t, d.Decode(&told))
	doc, err := os.ReadFile(out)
	require.NoError(t, err)
	f, err := figure.Read(doc)
	require.NoError(t, err)
	require.Len(t, told.Rings, len(f.Rings))
	most := 0
	for i, r := range told.Rings {
		assert.Equal(t, i+1, r.Ring)
		assert.Len(t, f.Rings[i].Cells, r.Units)
		most = max(most, r.Units)
	}
	assert.InDelta(t, 30, most, 1)
	assert.NotEmpty(t, told.LeftOut, "its ears")
	require.NotNil(t, told.Mean)
	assert.Less(t, *told.Mean, 3.0)
	_, errs, code = tuckring(t, string(solidtest.Owl().GLB()), "solid", "-", "--height", "220", "--colours", papers, "--title", "Owl", "--out", out, "--limbs")
	require.Equal(t, 0, code, errs)
	doc, err = os.ReadFile(out)
	require.NoError(t, err)
	f, err = figure.Read(doc)
	require.NoError(t, err)
	assert.Len(t, f.Parts, 3)
}

func TestSolidRefusals(t *testing.T) {
	dir := t.TempDir()
	papers, out := write(t, dir, "papers.txt", "#a63a2b\n"), filepath.Join(dir, "out.tuckring.json")
	words := write(t, dir, "words.stl", "Dear library")
	for _, c := range []struct {
		code int
		want string
		args []string
	}{
		{2, "--height", []string{words, "--colours", papers, "--out", out}},
		{2, "--colours", []string{words, "--height", "160", "--out", out}},
		{2, "--out", []string{words, "--height", "160", "--colours", papers}},
		{2, "--height: found", []string{words, "--height", "tall", "--colours", papers, "--out", out}},
		{2, "--up", []string{words, "--height", "160", "--up", "north", "--colours", papers, "--out", out}},
		{1, "not a solid", []string{words, "--height", "160", "--colours", papers, "--out", out}},
		{1, "no such file", []string{filepath.Join(dir, "none.stl"), "--height", "160", "--colours", papers, "--out", out}},
		{1, "directory", []string{dir, "--height", "160", "--colours", papers, "--out", out}},
	} {
		_, errs, code := tuckring(t, "", append([]string{"solid"}, c.args...)...)
		assert.Equal(t, c.code, code, c.args)
		assert.Contains(t, errs, c.want)
		assert.NoFileExists(t, out)
	}
}

// Whoever made a solid says which files go with it: one that nobody writes to holds nothing up, and files elsewhere are not read.
func TestOnlyPlainFilesBesideASolidAreRead(t *testing.T) {
	dir, elsewhere := t.TempDir(), t.TempDir()
	papers, out := write(t, dir, "papers.txt", solidtest.Papers), filepath.Join(dir, "out.tuckring.json")
	red := write(t, elsewhere, "red.mtl", "newmtl paint\nKd 0.65 0.23 0.17\n")
	require.NoError(t, syscall.Mkfifo(filepath.Join(dir, "pipe.mtl"), 0o600))
	require.NoError(t, os.Mkdir(filepath.Join(dir, "folder.mtl"), 0o700))
	require.NoError(t, os.Symlink(red, filepath.Join(dir, "away.mtl")))
	write(t, dir, "beside.mtl", "newmtl paint\nKd 0.65 0.23 0.17\nmap_Kd pipe.mtl\n")
	obj := strings.Replace(string(solidtest.Cylinder(80, 160, 24, 4).OBJ()), "\nf ", "\nusemtl paint\nf ", 1)
	for name, read := range map[string]bool{"pipe.mtl": false, "folder.mtl": false, "away.mtl": false, "../" + filepath.Base(elsewhere) + "/red.mtl": false, "beside.mtl": true} {
		model := write(t, dir, "model.obj", "mtllib "+name+"\n"+obj)
		said, errs, code := tuckring(t, "", "solid", model, "--height", "160", "--colours", papers, "--out", out)
		require.Equal(t, 0, code, errs)
		assert.Equal(t, !read, strings.Contains(said, "has no colours"), name)
	}
}

// None of the files that a figure is made of is written over, whatever name it goes by.
func TestOutIsNoneOfTheFilesRead(t *testing.T) {
	dir := t.TempDir()
	picture, papers, stock := sail(t, dir), write(t, dir, "papers.txt", solidtest.Papers), write(t, dir, "stock.txt", "")
	document, err := os.ReadFile(sixtyEight)
	require.NoError(t, err)
	onto := write(t, dir, "onto.tuckring.json", string(document))
	materials := write(t, dir, "red.mtl", "newmtl paint\nKd 1 1 1\nmap_Kd sail.png\n")
	model := write(t, dir, "model.obj", "mtllib red.mtl\n"+string(solidtest.Cylinder(80, 160, 24, 4).OBJ()))
	linked := filepath.Join(dir, "linked.json")
	require.NoError(t, os.Link(picture, linked))
	asPicture, asSolid := []string{"picture", picture, "--colours", papers}, []string{"solid", model, "--height", "160", "--colours", papers}
	for _, c := range []struct {
		args []string
		out  string
	}{
		{asPicture, picture}, {asPicture, linked}, {asPicture, papers}, {append(asPicture[:4:4], "--onto", onto, "--stock", stock), onto},
		{append(asPicture[:4:4], "--onto", onto, "--stock", stock), stock}, {asSolid, model}, {asSolid, papers}, {asSolid, materials}, {asSolid, picture},
	} {
		before, err := os.ReadFile(c.out)
		require.NoError(t, err)
		_, errs, code := tuckring(t, "", append(c.args, "--out", c.out)...)
		assert.Equal(t, 2, code, "%v %s", c.args, c.out)
		assert.Contains(t, errs, "is one of the files that are read", "%v %s", c.args, c.out)
		after, err := os.ReadFile(c.out)
		require.NoError(t, err)
		assert.Equal(t, before, after)
	}
}
