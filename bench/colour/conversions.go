package main

func compareConversions() error { return nil }
