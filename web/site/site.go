// Package site makes the files of a web site of one figure, which tuckring publish writes; no address of the app shows it.
package site

import (
	"bytes"
	"context"
	"io/fs"
	"path"
	"regexp"
	"slices"

	"tuckring/internal/draw"
	"tuckring/internal/figure"
	"tuckring/internal/report"
	"tuckring/internal/site"
	"tuckring/internal/words"
	"tuckring/static"
	"tuckring/web/common"
	"tuckring/web/kernel"
)

// View is the page of a figure's own web site.
type View struct {
	Title  string
	Counts words.Text // all units and rings
	Report common.Reckoning
	Build  common.Instructions
	Tables []report.Table // those that are files of their own
}

// Names of the files of a site that its page shows or hands out.
const (
	sitePage          = "index.html"
	siteLook          = "look/" // folder of the style sheets, the typeface and the icon
	siteDocument      = "figure.tuckring.json"
	siteFront         = "front.svg"
	siteQuarter       = "three-quarter.svg"
	siteFigure        = "figure.png"
	siteRunning       = siteLook + "running.css"
	sitePattern       = "pattern" // and its ending
	siteHandoutA4     = "handout-a4.pdf"
	siteHandoutLetter = "handout-letter.pdf"
)

// siteStyles are the style sheets of a site, in their order.
var siteStyles = []string{"base", "report", "print", "site"}

// Files makes a web site of one figure: one page that shows it, says what it takes and how it is built, and
// files to take along. It needs no server and no scripts, and nothing from elsewhere: every address in it
// is relative. The same figure and settings give the same bytes. It fails as report.Make does, and with
// static.ErrNotBuilt.
func Files(f *figure.Figure, settings report.Settings, say *words.Speaker) ([]site.File, error) {
	if err := static.Built(); err != nil {
		return nil, err
	}
	made, err := report.Make(context.Background(), f, settings)
	if err != nil {
		return nil, err
	}
	v := siteView(f, settings, made)
	var page bytes.Buffer
	p := kernel.Page{Say: say, Title: f.Title, Styles: siteStyles, File: func(name string) string { return siteLook + name }}
	if err := SitePage(p, v).Render(context.Background(), &page); err != nil {
		return nil, err
	}
	files := []site.File{{Name: sitePage, Data: page.Bytes()}, {Name: siteDocument, Data: f.Write()}}
	for _, more := range []func() ([]site.File, error){
		func() ([]site.File, error) { return sitePictures(f, say) },
		func() ([]site.File, error) { return siteTables(v.Tables, say) },
		siteLooks,
	} {
		part, err := more()
		if err != nil {
			return nil, err
		}
		files = append(files, part...)
	}
	files = append(files, site.File{Name: siteRunning, Data: kernel.RunningSheet(f.Title)})
	return files, nil
}

func siteView(f *figure.Figure, settings report.Settings, made *report.Report) View {
	v := View{
		Title:  f.Title,
		Counts: made.Units.Text(len(f.Rings)),
		Report: common.Reckoning{Made: made, Settings: settings, Marks: common.MarksOf(f), Unit: f.Unit},
		Build:  common.Instruct(f),
	}
	for _, t := range made.Tables() {
		if len(t.Rows) > 0 {
			v.Tables = append(v.Tables, t)
		}
	}
	return v
}

// sitePictures draws what the page shows and what is printed.
func sitePictures(f *figure.Figure, say *words.Speaker) ([]site.File, error) {
	pattern := draw.Pattern(f, draw.PatternOptions{Signs: true, Legend: true, Say: say}).OnWhite()
	pictures := []struct {
		name string
		of   interface {
			Encode(draw.Format, float64) ([]byte, error)
		}
	}{
		{siteFront, draw.Stand(f, draw.Front, say)},
		{siteQuarter, draw.Stand(f, draw.ThreeQuarter, say)},
		{siteFigure, draw.Views(f, say).OnWhite()},
		{sitePattern + ".svg", pattern},
		{sitePattern + ".png", pattern},
		{sitePattern + ".pdf", pattern},
		{siteHandoutA4, draw.Handout(f, draw.A4, say)},
		{siteHandoutLetter, draw.Handout(f, draw.Letter, say)},
	}
	var files []site.File
	for _, p := range pictures {
		data, err := p.of.Encode(draw.Format(path.Ext(p.name)[1:]), 0)
		if err != nil {
			return nil, err
		}
		files = append(files, site.File{Name: p.name, Data: data})
	}
	return files, nil
}

func siteTables(tables []report.Table, say *words.Speaker) ([]site.File, error) {
	var files []site.File
	for i := range tables {
		var out bytes.Buffer
		if err := tables[i].CSV(&out, say); err != nil {
			return nil, err
		}
		files = append(files, site.File{Name: siteTable(&tables[i]), Data: out.Bytes()})
	}
	return files, nil
}

// siteTable is the name of a table's file.
func siteTable(t *report.Table) string { return "tables/" + t.Key + ".csv" }

// fontOf finds the fonts that a style sheet names, beside it.
var fontOf = regexp.MustCompile(`url\("?\./([\w.-]+\.woff2)"?\)`)

// siteLooks are the style sheets, the fonts they name, and the icon.
func siteLooks() ([]site.File, error) {
	names := []string{"icon.svg"}
	for _, style := range siteStyles {
		sheet := "build/" + style + ".css"
		names = append(names, sheet)
		data, err := fs.ReadFile(static.Files(), sheet)
		if err != nil {
			return nil, err
		}
		for _, font := range fontOf.FindAllSubmatch(data, -1) {
			if name := "build/" + string(font[1]); !slices.Contains(names, name) {
				names = append(names, name)
			}
		}
	}
	var files []site.File
	for _, name := range names {
		data, err := fs.ReadFile(static.Files(), name)
		if err != nil {
			return nil, err
		}
		files = append(files, site.File{Name: siteLook + path.Base(name), Data: data})
	}
	return files, nil
}
