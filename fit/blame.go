package fit

import "neckfit/measure"

// Against is which parts a characteristic speaks against where it fails.
type Against struct {
	Off  []measure.Part // those that it is a matter of
	Back []measure.Part // that which goes back where nothing cures it; several where it may be any of them

	// Of what neck and body make together, the characteristics that tell what each brings; both zero where none do.
	Shared     bool
	Neck, Body ID
}

// SpeaksAgainst says of each characteristic which parts it speaks against.
func SpeaksAgainst(id ID) Against {
	neck, body, bridge := []measure.Part{measure.NeckPart}, []measure.Part{measure.BodyPart}, []measure.Part{measure.BridgePart}
	both, mount := []measure.Part{measure.NeckPart, measure.BodyPart}, []measure.Part{measure.BodyPart, measure.BridgePart}
	switch id {
	case ScaleLength, FretError, NutError, SideBow, HeelEndSquareness, HeelWidthMouth, HeelWidthEnd, HeelThickness, HeelOffset, HeelSkew, Relief:
		return Against{Off: neck, Back: neck}
	case StringHolePitch, FerruleMismatch, FloorFlatness, PickupOffset, PocketOffCentre, PocketEndSquareness, PocketWidthMouth, PocketWidthEnd, PocketDepth:
		return Against{Off: body, Back: body}
	case BridgeOffCentre, BridgeOffPocket, BridgeOffTurn, PlateHoleMismatch, IntonationError:
		return Against{Off: mount, Back: body}
	case BridgeHoleMismatch, SaddleReserveFront, SaddleReserveBack:
		return Against{Off: mount, Back: bridge}
	case SaddleHeightReserveLow, SaddleHeightReserveHigh, MarginBass, MarginTreble:
		return Against{Off: []measure.Part{measure.NeckPart, measure.BodyPart, measure.BridgePart}, Back: bridge}
	case CornerReserve:
		return Against{Off: both, Back: neck}
	case PocketGapMouth, PocketGapEnd, EndGap, NeckScrewMismatch:
		return Against{Off: both, Back: both}
	case CentreLineError:
		return Against{both, both, true, HeelOffset, BridgeOffPocket}
	case MarginBalance:
		return Against{both, bridge, true, HeelOffset, BridgeOffPocket}
	case BridgeSkew:
		return Against{both, bridge, true, HeelSkew, BridgeOffTurn}
	}
	return Against{Off: both, Back: body}
}
