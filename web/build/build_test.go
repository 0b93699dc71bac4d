package build_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"tuckring/web/webtest"
)

func TestBuildSheetCarriesCautionsWhereTheStepIs(t *testing.T) {
	s, kept := webtest.Keeping(t)
	d := webtest.KeepLighthouse(t, kept)
	page := webtest.ReadPage(t, s, "/d/"+d.ID+"/build", 200)
	blade, first := strings.Index(page, "knife blades cut"), strings.Index(page, ">Ring 1<")
	glued, hot, next := strings.Index(page, "Glue on lamp"), strings.Index(page, "Hot glue"), strings.Index(page, ">Ring 4<")
	assert.True(t, 0 < blade && blade < first, "before anything is cut")
	assert.True(t, first < glued && glued < hot && hot < next, "at the ring that the lamp is glued to")
	assert.Contains(t, page, "leave 2 points free")
}
