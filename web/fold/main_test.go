package fold_test

import (
	"testing"

	"tuckring/web/webtest"
)

func TestMain(m *testing.M) { webtest.Main(m) }
