"""What leaves the screen: reminders for a calendar.

Imports ``present`` and what stands below it; never a face, a file or the planner.
"""
