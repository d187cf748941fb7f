Attribute VB_Name = "HitchworthValues"
' {{ purpose }}
Option Explicit

Private Const SERVER As String = {{ server | quoted }}
Private Const ADDRESS As String = {{ path | quoted }}
Private Const MARK As String = {{ mark | quoted }}
Private Const KEY As String = ""

Public Sub Hitchworth()
  Dim sheet As Object, sent As String
  sent = SheetLines(ActiveSheet)
  For Each sheet In ActiveWorkbook.Worksheets
    If sheet.Name <> ActiveSheet.Name And sheet.Visible = -1 Then sent = sent & SheetLines(sheet)
  Next
  WriteRows ActiveSheet, Answer(sent)
End Sub

' The rows of a sheet as lines: its name, then the cells on the left of what an earlier run has written.
Private Function SheetLines(sheet As Object) As String
  Dim row As Long, column As Long, own As Long, rows() As String
  own = OwnColumn(sheet)
  ReDim rows(1 To LastRow(sheet))
  For row = 1 To UBound(rows)
    rows(row) = sheet.Name
    For column = 1 To own - 1
      rows(row) = rows(row) & vbTab & CellText(sheet.Cells(row, column))
    Next
  Next
  SheetLines = Join(rows, vbLf) & vbLf
End Function

' A number with a point, a date as YYYY-MM-DD, a text with an apostrophe before it, an error with #.
Private Function CellText(cell As Object) As String
  Dim found As Variant
  found = cell.Value
  If IsError(found) Then
    CellText = "#" & cell.Text
  ElseIf VarType(found) = vbDate Then
    CellText = Format(found, "yyyy-mm-dd")
  ElseIf VarType(found) = vbString Then
    If found <> "" Then CellText = "'" & Replace(Replace(Replace(found, vbTab, " "), vbCr, " "), vbLf, " ")
  ElseIf VarType(found) = vbBoolean Then
    CellText = IIf(found, "'true", "'false")
  ElseIf Not IsEmpty(found) Then
    CellText = Trim(Str(found))
  End If
End Function

Private Function LastRow(sheet As Object) As Long
  LastRow = sheet.UsedRange.Row + sheet.UsedRange.Rows.Count - 1
End Function

' The column that an earlier run has written into, else the first free one.
Private Function OwnColumn(sheet As Object) As Long
  Dim row As Long, column As Long, last As Long
  last = sheet.UsedRange.Column + sheet.UsedRange.Columns.Count - 1
  For column = 2 To last
    OwnColumn = column
    For row = 1 To {{ mark_rows }}
      If Left(sheet.Cells(row, column).Text, Len(MARK)) = MARK Then Exit Function
    Next
  Next
  OwnColumn = last + 1
End Function

Private Function ClearedColumn(sheet As Object) As Long
  Dim own As Long: own = OwnColumn(sheet)
  sheet.Range(sheet.Cells(1, own), sheet.Cells(LastRow(sheet), own + {{ last }})).ClearContents
  ClearedColumn = own
End Function

' What the server answers; nothing without an answer.
Private Function Answer(sent As String) As String
  Dim request As Object
  On Error GoTo Failed
  Set request = CreateObject("MSXML2.ServerXMLHTTP.6.0")
  request.Open "POST", SERVER & ADDRESS, False
  request.setRequestHeader "Content-Type", {{ media_type | quoted }}
  If KEY <> "" Then request.setRequestHeader "Authorization", "Bearer " & KEY
  request.send sent
  Answer = request.responseText
Failed:
End Function

Private Sub WriteRows(active As Object, received As String)
  Dim lines() As String, parts() As String, headings As Variant, sheet As Object, target As Object
  Dim own As Long, i As Long, n As Long
  headings = Array({% for heading in headings %}{{ heading | wide }}{{ ", " if not loop.last }}{% endfor %})
  lines = Split(received, vbLf)
  If Left(received, {{ columns[0] | length + 1 }}) <> {{ columns[0] | quoted }} & vbTab Then
    active.Cells(1, ClearedColumn(active)).Value = MARK & Problem(lines)
    Exit Sub
  End If
  For n = 1 To UBound(lines) - 1
    parts = Split(lines(n), vbTab)
    Set sheet = ActiveWorkbook.Worksheets(parts({{ place.sheet }}))
    If parts({{ place.kind }}) = "heading" Then own = ClearedColumn(sheet)
    For i = 0 To {{ last }}
      Set target = sheet.Cells(CLng(parts({{ place.row }})), own + i)
      If i < {{ last }} And parts({{ first }} + i) <> "" Then
        target.Value = Val(parts({{ first }} + i))
      Else
        If parts({{ first }} + i) = "" And parts({{ place.kind }}) = "heading" Then parts({{ first }} + i) = headings(i)
        target.Value = IIf(parts({{ first }} + i) = "", "", "'" & parts({{ first }} + i))
      End If
    Next
  Next
End Sub

' Why there are no values, in a sentence.
Private Function Problem(lines() As String) As String
  Dim parts() As String: Problem = {{ texts.no_answer | wide }}
  If UBound(lines) < 1 Then Exit Function
  parts = Split(lines(1), vbTab)
  Problem = parts({{ problem.detail }}) & " " & parts({{ problem.expected }})
  If parts({{ problem.kind }}) = {{ key_problem | quoted }} Then Problem = Problem & " " & {{ texts.key_missing | wide }}
End Function
