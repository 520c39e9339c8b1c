package netcase

import "winnow/internal/physics/network"

// MiddleDuct is the link whose loss coefficient the warm timing changes: of the open links, the first duct past half of them, else
// the last duct. The timing peer picks the same.
func MiddleDuct(c Case) int {
	open := 0
	for _, l := range c.Network.Links {
		if l.Law.Kind != network.Shut {
			open++
		}
	}
	pick, n := 0, 0
	for i, l := range c.Network.Links {
		if l.Law.Kind == network.Shut {
			continue
		}
		n++
		if l.Law.Kind == network.Duct {
			pick = i
			if 2*n > open {
				break
			}
		}
	}
	return pick
}

// MiddleGate is the link that the toggle timing shuts and opens: of the links with a loss and nothing else, or if none lies off the
// fan's line a duct, the middle one.
func MiddleGate(c Case) int {
	var gates, ducts []int
	for i, l := range c.Network.Links {
		law := c.Open[i]
		switch {
		case law.Kind == network.Loss && (l.Law.Kind == network.Shut || c.LinkIDs[i] != "separator"):
			gates = append(gates, i)
		case law.Kind == network.Duct && l.Law.Kind == network.Shut:
			gates = append(gates, i)
		case law.Kind == network.Duct:
			ducts = append(ducts, i)
		}
	}
	if len(gates) > 0 {
		return gates[len(gates)/2]
	}
	return ducts[len(ducts)/2]
}
