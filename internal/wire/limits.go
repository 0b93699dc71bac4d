package wire

import "time"

// Limits of one request for edits. Steps that waited for a lost connection come in several requests.
const (
	MaxSteps      = 1000
	MaxPersonName = 40 // characters of a person's name
)

// AliveEvery is how often a stream of events says that it still stands, when nothing happens.
const AliveEvery = 15 * time.Second
