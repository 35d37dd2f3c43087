"""What sequencer exports leave behind: trigger notes, tracks, played-in time, spelling, lines, bars and parts."""
