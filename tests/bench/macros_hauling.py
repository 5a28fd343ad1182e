"""The macros of bench_macros.py for hauling a machine: placing it, driving it on, tying it down, towing."""

from __future__ import annotations

PLACING = """
Function MACRO_PIN_AT(empty_weight, empty_pin, to_axles, load_weight, to_load)
    MACRO_PIN_AT = empty_pin + load_weight * (to_axles - to_load) / to_axles
End Function

Function MACRO_AXLES_AT(empty_weight, empty_pin, to_axles, load_weight, to_load)
    MACRO_AXLES_AT = empty_weight + load_weight - (empty_pin + load_weight * (to_axles - to_load) / to_axles)
End Function

Function MACRO_LOADING_PIN(empty_weight, empty_pin, to_axles, load_weight, to_tail)
    MACRO_LOADING_PIN = empty_pin + load_weight * (to_axles - to_tail) / to_axles
End Function

Function MACRO_FOREMOST(empty_weight, empty_pin, to_axles, load_weight, low_share, high_share, group_rating, vertical)
    Dim greatest
    greatest = high_share * (empty_weight + load_weight)
    If empty_pin + load_weight < greatest Then greatest = empty_pin + load_weight
    If vertical <> 0 Then If vertical < greatest Then greatest = vertical
    MACRO_FOREMOST = to_axles * (empty_pin + load_weight - greatest) / load_weight
End Function

Function MACRO_REARMOST(empty_weight, empty_pin, to_axles, load_weight, low_share, high_share, group_rating, vertical)
    Dim least, place
    least = low_share * (empty_weight + load_weight)
    If group_rating <> 0 Then
        If empty_weight + load_weight - group_rating > least Then least = empty_weight + load_weight - group_rating
    End If
    place = to_axles * (empty_pin + load_weight - least) / load_weight
    If place < 0 Then place = 0
    MACRO_REARMOST = place
End Function

Function MACRO_FROM_DECK(to_load, to_deck)
    MACRO_FROM_DECK = to_load - to_deck
End Function

Function MACRO_REAR_AXLE_CHANGE(pin, wheelbase, hitch_overhang)
    MACRO_REAR_AXLE_CHANGE = pin * (1 + hitch_overhang / wheelbase)
End Function

Function MACRO_FRONT_AXLE_CHANGE(pin, wheelbase, hitch_overhang)
    MACRO_FRONT_AXLE_CHANGE = -pin * hitch_overhang / wheelbase
End Function
"""

HAULING = """
Function MACRO_TIEDOWN_COUNT(weight_lb, length_ft, blocked, machine)
    Dim count
    If LCase(Trim(blocked)) = "blocked" Then
        count = -Int(-length_ft / 10)
    ElseIf length_ft <= 5 And weight_lb <= 1100 Then
        count = 1
    Else
        count = 2
        If length_ft > 10 Then count = 2 - Int(-(length_ft - 10) / 10)
    End If
    If LCase(Trim(machine)) = "machine" Then If weight_lb >= 10000 And count < 4 Then count = 4
    MACRO_TIEDOWN_COUNT = count
End Function

Function MACRO_TIEDOWN_WLL(weight, count, tiedown)
    Dim limit
    limit = weight / count
    If LCase(Trim(tiedown)) = "indirect" Then limit = limit / 2
    MACRO_TIEDOWN_WLL = limit
End Function

Function MACRO_CHAIN_WLL(size, grade)
    Dim row, column
    If IsEmpty(ChainLimits) Then ReadTables
    Select Case LCase(Trim(Replace(size, "  ", " ")))
        Case "1/4", "1/4 in", "7 mm": row = 0
        Case "5/16", "5/16 in", "8 mm": row = 1
        Case "3/8", "3/8 in", "10 mm": row = 2
        Case "7/16", "7/16 in", "11 mm": row = 3
        Case "1/2", "1/2 in", "13 mm": row = 4
        Case "5/8", "5/8 in", "16 mm": row = 5
    End Select
    Select Case grade
        Case 30: column = 0
        Case 43: column = 1
        Case 70: column = 2
        Case 80: column = 3
        Case 100: column = 4
    End Select
    MACRO_CHAIN_WLL = ChainLimits(row * 5 + column)
End Function

Function MACRO_LICENSE_GROUP(truck, trailer, stated, actual)
    Dim gross
    gross = truck + trailer
    If stated > gross Then gross = stated
    If actual > gross Then gross = actual
    If trailer > 10000 And gross >= 26001 Then
        MACRO_LICENSE_GROUP = "A"
    ElseIf truck >= 26001 Then
        MACRO_LICENSE_GROUP = "B"
    Else
        MACRO_LICENSE_GROUP = "none"
    End If
End Function

Function MACRO_BRIDGE_LIMIT(axles, span_ft)
    Dim limit, feet
    If axles = 1 Or span_ft <= 40 / 12 Then
        limit = 20000
    ElseIf span_ft <= 8 Then
        limit = 34000
    Else
        feet = Int(span_ft + 0.5)
        If span_ft < 9 Then feet = 8
        limit = -500 * Int(0.5 - (feet * axles / (axles - 1) + 12 * axles + 36))
        If limit > 20000 * axles Then limit = 20000 * axles
        If limit > 80000 Then limit = 80000
    End If
    MACRO_BRIDGE_LIMIT = limit
End Function

Function MACRO_TRUCK_LIMIT(gvwr, truck_empty, share, gcwr, hitch, vertical, rear, rear_empty, wheelbase, overhang)
    Dim least, limit
    least = (gvwr - truck_empty) / share
    If gcwr <> 0 Then If gcwr - truck_empty < least Then least = gcwr - truck_empty
    If hitch <> 0 Then If hitch < least Then least = hitch
    If vertical <> 0 Then If vertical / share < least Then least = vertical / share
    If rear <> 0 And rear_empty <> 0 And (overhang = 0 Or wheelbase <> 0) Then
        limit = (rear - rear_empty) / share
        If overhang <> 0 Then limit = limit / (1 + overhang / wheelbase)
        If limit < least Then least = limit
    End If
    MACRO_TRUCK_LIMIT = least
End Function

Function MACRO_TRUCK_LIMITED_BY(gvwr, truck_empty, share, gcwr, hitch, vertical, rear, rear_empty, wheelbase, overhang)
    Dim least, limit, which
    least = (gvwr - truck_empty) / share
    which = "GVWR"
    If gcwr <> 0 Then
        If gcwr - truck_empty < least Then
            least = gcwr - truck_empty
            which = "GCWR"
        End If
    End If
    If hitch <> 0 Then
        If hitch < least Then
            least = hitch
            which = "hitch"
        End If
    End If
    If vertical <> 0 Then
        If vertical / share < least Then
            least = vertical / share
            which = "hitch vertical"
        End If
    End If
    If rear <> 0 And rear_empty <> 0 And (overhang = 0 Or wheelbase <> 0) Then
        limit = (rear - rear_empty) / share
        If overhang <> 0 Then limit = limit / (1 + overhang / wheelbase)
        If limit < least Then which = "rear axle"
    End If
    MACRO_TRUCK_LIMITED_BY = which
End Function
"""

DRIVING_ON = """
Private LeastGap As Double
Private LeastPart As String

Function ArcSine(sine)
    If sine >= 1 Then ArcSine = 1.5707963267949 Else ArcSine = Atn(sine / Sqr(1 - sine * sine))
End Function

Function TanOf(sine)
    TanOf = sine / Sqr(1 - sine * sine)
End Function

Sub Take(gap, part)
    If gap < LeastGap - 0.000000001 Then
        LeastGap = gap
        LeastPart = part
    End If
End Sub

Sub Sweep(deck, drop, tail, ramp, wheelbase, clearance, front, front_clear, rear, rear_clear)
    Dim bx(2) As Double, by(2) As Double, tangent(3) As Double, at(2) As String
    Dim i, k, piece, ahead, x, y, sx, sy, c, s, on_line, fx, fy, along, height, first, last, slope, right_of, up
    Dim along_from, height_from, here, length, rise
    at(0) = "the ramp's foot"
    at(1) = "the ramp's top"
    at(2) = "the tail's top"
    rise = deck - drop
    tangent(1) = TanOf(rise / ramp)
    bx(1) = Sqr(ramp * ramp - rise * rise)
    by(1) = rise
    bx(2) = bx(1)
    by(2) = deck
    If tail > 0 Then
        tangent(2) = TanOf(drop / tail)
        bx(2) = bx(1) + Sqr(tail * tail - drop * drop)
    End If
    LeastGap = clearance
    LeastPart = "belly on level ground"
    If front > 0 Then Take(front_clear, "front overhang on level ground")
    If rear > 0 Then Take(rear_clear, "rear overhang on level ground")
    first = -wheelbase - front
    last = bx(2) + rear
    For i = 0 To 100
        x = first + (last - first) * i / 100
        piece = 0
        For k = 0 To 2
            If bx(k) <= x Then piece = k + 1
        Next k
        y = 0
        If piece > 0 Then y = by(piece - 1) + (x - bx(piece - 1)) * tangent(piece)
        sx = x
        sy = y
        ahead = piece
        Do While ahead < 3
            right_of = bx(ahead) - x
            up = by(ahead) - y
            If right_of * right_of + up * up >= wheelbase * wheelbase Then Exit Do
            sx = bx(ahead)
            sy = by(ahead)
            ahead = ahead + 1
        Loop
        c = 1 / Sqr(1 + tangent(ahead) * tangent(ahead))
        s = tangent(ahead) * c
        right_of = x - sx
        up = y - sy
        on_line = right_of * c + up * s
        on_line = on_line + Sqr(on_line * on_line - right_of * right_of - up * up + wheelbase * wheelbase)
        fx = sx + on_line * c
        fy = sy + on_line * s
        c = (fx - x) / wheelbase
        s = (fy - y) / wheelbase
        here = ahead
        along_from = wheelbase
        height_from = 0
        For k = 0 To 2
            along = (bx(k) - x) * c + (by(k) - y) * s
            height = (by(k) - y) * c - (bx(k) - x) * s
            If k < piece Then
                If rear > 0 And along >= -rear Then Take(rear_clear - height, "rear overhang at " & at(k))
            ElseIf k < ahead Then
                Take(clearance - height, "belly at " & at(k))
            ElseIf front > 0 And along <= wheelbase + front Then
                Take(front_clear - height, "front overhang at " & at(k))
                here = k + 1
                along_from = along
                height_from = height
            End If
        Next k
        If front > 0 And here > 0 Then
            slope = (tangent(here) - s / c) / (1 + tangent(here) * s / c)
            height_from = height_from + (wheelbase + front - along_from) * slope
            Take(front_clear - height_from, "front overhang at " & at(here - 1))
        End If
        If rear > 0 And piece < 3 Then
            here = piece
            along_from = 0
            height_from = 0
            For k = piece - 1 To 0 Step -1
                along = (bx(k) - x) * c + (by(k) - y) * s
                If along < -rear Then Exit For
                here = k
                along_from = along
                height_from = (by(k) - y) * c - (bx(k) - x) * s
            Next k
            slope = (tangent(here) - s / c) / (1 + tangent(here) * s / c)
            Take(rear_clear - height_from - (-rear - along_from) * slope, "rear overhang at " & at(here))
        End If
    Next i
End Sub

Function MACRO_RAMP_CLEARANCE(deck, drop, tail, ramp, wheelbase, clearance, front, front_clear, rear, rear_clear)
    Sweep(deck, drop, tail, ramp, wheelbase, clearance, front, front_clear, rear, rear_clear)
    MACRO_RAMP_CLEARANCE = LeastGap
End Function

Function MACRO_RAMP_TOUCH(deck, drop, tail, ramp, wheelbase, clearance, front, front_clear, rear, rear_clear)
    Sweep(deck, drop, tail, ramp, wheelbase, clearance, front, front_clear, rear, rear_clear)
    MACRO_RAMP_TOUCH = LeastPart
End Function

Function MACRO_BREAK_ANGLE(deck, drop, tail, ramp, place)
    Dim ramp_angle, tail_angle
    ramp_angle = ArcSine((deck - drop) / ramp) * 57.2957795130823
    tail_angle = 0
    If tail > 0 Then tail_angle = ArcSine(drop / tail) * 57.2957795130823
    Select Case LCase(Trim(place))
        Case "foot": MACRO_BREAK_ANGLE = ramp_angle
        Case "ramp top": MACRO_BREAK_ANGLE = ramp_angle - tail_angle
        Case "tail top": MACRO_BREAK_ANGLE = tail_angle
    End Select
End Function

Function MACRO_CLEARANCE_AT_LEAST(deck, drop, tail, ramp, wheelbase, clearance, front, front_clear, rear, rear_clear)
    Dim ramp_sine, tail_sine, steepest, longest, turn, most, sine, least, gap
    ramp_sine = (deck - drop) / ramp
    tail_sine = 0
    If tail > 0 Then tail_sine = drop / tail
    steepest = ramp_sine
    If tail_sine > steepest Then steepest = tail_sine
    longest = wheelbase
    If tail > longest Then longest = tail
    most = 0
    turn = Tan((ArcSine(ramp_sine) - ArcSine(drop / longest)) / 2)
    If turn > most Then most = turn
    sine = tail_sine
    If tail < wheelbase Then
        turn = (drop + (wheelbase - tail * Sqr(1 - ramp_sine * ramp_sine)) * ramp_sine) / wheelbase
        If turn > sine Then sine = turn
    End If
    turn = Tan(ArcSine(sine) / 2)
    If turn > most Then most = turn
    least = clearance - wheelbase / 2 * most
    If front > 0 Then
        gap = front * TanOf(steepest)
        If deck < gap Then gap = deck
        If front_clear - gap < least Then least = front_clear - gap
    End If
    If rear > 0 Then
        sine = deck / wheelbase
        If steepest < sine Then sine = steepest
        gap = rear_clear - rear * TanOf(sine)
        If gap < least Then least = gap
    End If
    MACRO_CLEARANCE_AT_LEAST = least
End Function

Function Lift(wheelbase, turn, room)
    If room >= wheelbase / 2 / Cos(turn / 2) Then Lift = wheelbase / 2 * Tan(turn / 2) Else Lift = 0
End Function

Function MACRO_CLEARANCE_AT_MOST(deck, drop, tail, ramp, wheelbase, clearance, front, front_clear, rear, rear_clear)
    Dim rise, ramp_angle, tail_angle, highest, other, room, beyond, most, gap, longest
    rise = deck - drop
    ramp_angle = ArcSine(rise / ramp)
    tail_angle = 0
    room = tail
    beyond = 0
    If tail > 0 Then
        tail_angle = ArcSine(drop / tail)
        If drop > 0 And drop / tail <= rise / ramp Then room = deck * tail / drop
        If rise > 0 Then beyond = drop * ramp / rise
    End If
    highest = Lift(wheelbase, ramp_angle - tail_angle, ramp)
    other = Lift(wheelbase, tail_angle, room)
    If other > highest Then highest = other
    other = Lift(wheelbase, ramp_angle, ramp + beyond) - drop / 2 / Cos(ramp_angle / 2)
    If other > highest Then highest = other
    If highest < 0 Then highest = 0
    most = clearance - highest
    If front > 0 Then
        gap = front * TanOf(rise / ramp)
        If rise < gap Then gap = rise
        If front_clear - gap < most Then most = front_clear - gap
    End If
    If rear > 0 Then
        longest = wheelbase
        If ramp > longest Then longest = ramp
        gap = rear_clear - rear * TanOf(rise / longest)
        If gap < most Then most = gap
    End If
    MACRO_CLEARANCE_AT_MOST = most
End Function
"""
