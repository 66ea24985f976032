"""The record of a job and the rules that every change of it must keep."""
