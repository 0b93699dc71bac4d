package solid

func (k *maker) tell() {}

func (t *trunk) endSpire(pitch float64) {}
