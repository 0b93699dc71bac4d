package wire

// Code names a kind of problem, for programs and tests.
type Code string

// The kinds of problems, each with its HTTP status in web/kernel (problem.go).
const (
	CodeInvalid     Code = "invalid"      // the request is not understood
	CodeRefused     Code = "refused"      // understood, but breaks a rule
	CodeForbidden   Code = "forbidden"    // this link or place has no power to do it
	CodeNotFound    Code = "not_found"    // nothing stands at this address
	CodeMethod      Code = "method"       // the address knows no such request
	CodeConflict    Code = "conflict"     // out of step with what is stored
	CodeTooLarge    Code = "too_large"    // the body is over the limit
	CodeTooMuch     Code = "too_much"     // more than a link may ask for; to be tried again later
	CodeHost        Code = "host"         // the request names a host that is not ours
	CodeCrossOrigin Code = "cross_origin" // another site tried to write
	CodeFull        Code = "full"         // no room left on the disk
	CodeUnwritable  Code = "unwritable"   // the disk does not take what is to be saved
	CodeDamaged     Code = "damaged"      // a figure that cannot be read
	CodeStopped     Code = "stopped"      // the asker has gone, or the app stops
	CodeInternal    Code = "internal"     // our own fault
)
