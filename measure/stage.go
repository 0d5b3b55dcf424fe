package measure

// Stage is when a reading was taken: of the kit as it came, or after it was worked on.
type Stage uint8

// The stages. A blank cell is Received.
const (
	Received Stage = iota
	Reworked
)

// stageNames has "" first, for wordOrBlank, so a stage is its word's place less one.
var stageNames = []string{"", "received", "reworked"}

func (s Stage) String() string { return stageNames[s+1] }

// stageOf is the stage of a word's place in stageNames.
func stageOf(word int) Stage {
	if word == 0 {
		return Received
	}
	return Stage(word - 1)
}

// Staged is the kit with the readings of one stage only; it is the kit itself when it has no others.
func (k *Kit) Staged(s Stage) *Kit {
	n := 0
	for i := range k.Readings {
		if k.Readings[i].Stage == s {
			n++
		}
	}
	if n == len(k.Readings) {
		return k
	}
	only := &Kit{Name: k.Name, Info: k.Info, Readings: make([]Reading, 0, n)}
	for i := range k.Readings {
		if k.Readings[i].Stage == s {
			only.Readings = append(only.Readings, k.Readings[i])
		}
	}
	return only
}

// WasReworked tells whether the kit was measured again after work on it.
func (k *Kit) WasReworked() bool {
	for i := range k.Readings {
		if k.Readings[i].Stage == Reworked {
			return true
		}
	}
	return false
}
