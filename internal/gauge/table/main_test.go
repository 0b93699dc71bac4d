package main

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestTableSaysWhatHoldsAndWhatDoesNot(t *testing.T) {
	figures, err := read(strings.NewReader(`{"Name":"Report","Unit":"ms","Measured":9,"Allowed":5}
{"Name":"Durable edit","Unit":"µs","Measured":300,"Allowed":375,"Baseline":250,"Against":"bare commit"}
{"Name":"Report","Unit":"ms","Measured":5,"Allowed":5}
{"Name":"Program","Unit":"MB","Measured":45.01,"Allowed":45}
`))
	require.NoError(t, err)
	var out strings.Builder
	require.NoError(t, write(&out, figures))
	lines := strings.Split(out.String(), "\n")
	assert.Regexp(t, `^Report +5 ms +5 ms +ok`, lines[1], "the last of two of one name")
	assert.Regexp(t, `^Durable edit +300 µs +375 µs +250 µs +× 1.2 +ok +bare commit`, lines[2])
	assert.Regexp(t, `^Program +45 MB +45 MB +OVER`, lines[3])
}
