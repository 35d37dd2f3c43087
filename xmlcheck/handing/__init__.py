"""Handoff folders: score and parts of one or more cues, as an orchestrator sends them, held against one another."""
