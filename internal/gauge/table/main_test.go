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
{"Name":"Undo","Unit":"ms","Measured":9,"Allowed":20,"Baseline":3,"Against":"a plain edit","Most":2.5}
{"Name":"Layout","Unit":"ms","Measured":9,"Allowed":20,"Baseline":3,"Against":"a plain grid","Most":3}
{"Name":"Units short","Unit":"units","Measured":1,"Allowed":1,"Baseline":0,"Against":"a plain grid","Most":1}
`))
	require.NoError(t, err)
	var out strings.Builder
	require.NoError(t, write(&out, figures))
	lines := strings.Split(out.String(), "\n")
	assert.Regexp(t, `^Report +5 ms +5 ms +ok`, lines[1], "the last of two of one name")
	assert.Regexp(t, `^Durable edit +300 µs +375 µs +250 µs +× 1.2 +ok +bare commit`, lines[2])
	assert.Regexp(t, `^Program +45 MB +45 MB +OVER`, lines[3])
	assert.Regexp(t, `^Undo +9 ms +20 ms +3 ms +× 3 +× 2.5 +OVER +a plain edit`, lines[4], "quick enough, but too many times its baseline")
	assert.Regexp(t, `^Layout +9 ms +20 ms +3 ms +× 3 +× 3 +ok +a plain grid`, lines[5])
	assert.Regexp(t, `^Units short +1 units +1 units +0 units +× 1 +OVER`, lines[6], "no times of nothing is something")
}
