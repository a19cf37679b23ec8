package render

import "runnel/survey/unit"

// cautions are what every report says of its own limits, in a fixed order.
//
// Sources of the figures on fall protection: 29 CFR 1926.501(b)(10) and
// 1926.502(f), as quoted in the federal interpretation letter of 1 August 2000;
// the rule itself governs. The rest is common practice, no source.
func cautions(sys unit.System) []string {
	return []string{
		"Drainage geometry, not structure: depth of water, rain and snow load and ponding instability " +
			"are for a licensed structural engineer to check, primary drains taken as blocked, before the " +
			"roof is changed or loaded.",
		"Boards, crickets and water still standing weigh on an old deck: give the engineer the average " +
			"and the greatest added load.",
		"A slope that just meets its limit on paper can be lost to deflection, camber and board " +
			"tolerance: read it together with its margin and the error of the survey.",
		"Code edition, local amendments and re-roof exceptions are for the code official to decide: " +
			"`meets` means against the limits named here and nothing more.",
		"Design, details and warranty belong to a licensed or qualified roof designer: this is a " +
			"proposal to be reviewed.",
		"Wind uplift: counts are for pricing; zones and pressures come from the engineer or the tested " +
			"assembly, and old decks need pull-out tests.",
		"Never rely on primary drains alone: a raised surface round an overflow changes its height and " +
			"may drown it. Keep every overflow that is required.",
		"Energy: an average R can pass while most of the area lies under it: compare least, average " +
			"and effective R, and name the rule used.",
		"Wet roofs: take cores and a moisture survey before laying over; wet insulation, a hidden " +
			"second roof, asbestos or a rotten deck void this plan.",
		"Flashing heights: list every curb, wall, door and skylight left with less than its limit, and " +
			"hide none.",
		falls(sys),
		"Measure again before ordering: drain rims, true board thickness and the first row laid, whose " +
			"error every later row inherits.",
	}
}

// falls is the caution on people who fall: figures of the United States where the
// job is in their units; elsewhere the law of the place holds.
func falls(sys unit.System) string {
	if sys == unit.Metric {
		return "People who fall: edges, skylights and deck openings are to be guarded as the law of the place wants it; " +
			"a line marked on the roof alone guards nobody."
	}
	return "Falls: work 6 ft or more above a lower level comes under 29 CFR 1926 subpart M. On low slopes " +
		"warning lines stand at least 6 ft from the edge and serve with other measures; a monitor " +
		"alone is only for roofs up to 50 ft wide. Skylights and deck openings count as holes."
}
